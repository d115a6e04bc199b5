//! Frames a second that are no whole number: in a screens file, on the command line, and as a mixer takes them.

use std::process::{Command, Stdio};

use fivemark_display::plan::{Fps, parse};

use crate::replay::{kept, lines, replay};
use crate::support::display;

fn with_fps(fps: &str) -> String {
    format!(
        "[[picture]]\nname = \"p\"\nscreen = \"overlay\"\n\n[[output]]\nname = \"raw\"\npicture = \"p\"\n\
         to = \"frames\"\npipe = \"-\"\nfps = {fps}\n"
    )
}

#[test]
fn a_screens_file_takes_whole_rates_and_fractions() {
    for (written, frames, seconds) in [
        ("50", 50, 1),
        ("59.94", 60_000, 1_001),
        ("23.976", 24_000, 1_001),
        ("12.5", 25, 2),
        ("\"60000/1001\"", 60_000, 1_001),
        ("\"29.97\"", 30_000, 1_001),
    ] {
        let plan = parse("hall.toml", &with_fps(written)).expect(written);
        assert_eq!(Some(plan.outputs[0].fps), Fps::new(frames, seconds), "{written}");
    }
    for (written, says) in [
        ("0", "`0` is no frame rate; give frames a second from 1 to 240"),
        ("-1", "`-1` is no frame rate"),
        ("240.5", "`240.5` is no frame rate"),
        ("6e1", "`6e1` is no frame rate"),
        ("0x32", "`0x32` is no frame rate"),
        ("nan", "`nan` is no frame rate"),
        ("\"60000/0\"", "`60000/0` is no frame rate"),
        ("\"\"", "`` is no frame rate"),
        ("true", "fps has to be a number or a text, not true or false"),
    ] {
        let faults = parse("hall.toml", &with_fps(written)).expect_err(written);
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(told[0].starts_with(&format!("hall.toml:10: {says}")), "{told:?}");
    }
}

#[test]
fn a_rate_that_is_none_is_told_at_once() {
    let output = display()
        .args(["overlay", "--feed", "127.0.0.1:9", "--frames", "-", "--fps", "59,94"])
        .output()
        .expect("the program");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!output.status.success() && output.stdout.is_empty());
    assert!(said.contains("`59,94` is no frame rate; give frames a second from 1 to 240"), "{said}");
}

/// Frames of a slowed rate go into ffmpeg, and the film that it makes has that rate and every frame.
#[test]
fn a_mixer_takes_a_slowed_rate() {
    let folder = tempfile::tempdir().expect("a folder");
    let film = kept(folder.path(), &lines());
    let how = ["--at", "0:45", "--speed", "10", "--frames", "-", "--fps", "23.976", "--size", "320x180"];
    let output = replay(&film, &how);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let frames = output.stdout.len() / (320 * 180 * 4);
    let (raw, made) = (folder.path().join("frames.rgba"), folder.path().join("film.mp4"));
    std::fs::write(&raw, &output.stdout).expect("a file");
    let mut command = Command::new("ffmpeg");
    command.args(["-v", "error", "-f", "rawvideo", "-pixel_format", "rgba", "-video_size", "320x180"]);
    command.args(["-framerate", "24000/1001", "-i"]).arg(&raw).args(["-pix_fmt", "yuv420p"]).arg(&made);
    assert!(command.stdin(Stdio::null()).status().expect("ffmpeg; tests/run installs it").success());
    let mut command = Command::new("ffprobe");
    command.args(["-v", "error", "-count_frames", "-select_streams", "v:0"]);
    command.args(["-show_entries", "stream=r_frame_rate,nb_read_frames", "-of", "csv=p=0"]).arg(&made);
    let told = command.output().expect("ffprobe comes with ffmpeg").stdout;
    assert_eq!(String::from_utf8_lossy(&told).trim(), format!("24000/1001,{frames}"));
    assert!(frames > 40, "the last three seconds at least: {frames}");
}
