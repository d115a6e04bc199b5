//! The demo where there is no screen: its board is on a page, whose address it prints.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};

use fivemark_tests::binaries::path_of;

#[test]
fn without_a_display_the_demo_prints_a_page_that_shows_the_board() {
    let mut demo = Command::new(path_of("fivemark-demo"))
        .args(["--port", "0"])
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .stdout(Stdio::piped())
        .spawn()
        .expect("the demo starts");
    let mut lines = BufReader::new(demo.stdout.take().expect("its output is piped")).lines();
    let board = lines.find_map(|line| Some(line.ok()?.trim().strip_prefix("board ")?.trim().to_owned()));
    let board = board.expect("it says where the board is");
    let (page, key) = board.split_once("#access_key=").expect("the key stands behind the #");
    assert!(key.len() >= 32 && key.bytes().all(|byte| byte.is_ascii_alphanumeric()), "{board}");
    let host = page.trim_start_matches("http://").trim_end_matches('/');
    let mut stream = TcpStream::connect(host).expect("the page's address");
    write!(stream, "GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").expect("a request");
    let mut answer = String::new();
    stream.read_to_string(&mut answer).expect("an answer");
    assert!(answer.starts_with("HTTP/1.1 200") && answer.contains("id=\"board\""), "{answer}");
    let asked = Command::new("kill").args(["-TERM", &demo.id().to_string()]).status().expect("kill runs");
    assert!(asked.success());
    let status = demo.wait().expect("the demo ends");
    assert_eq!(status.code(), Some(130), "stopped before the heat was over");
}
