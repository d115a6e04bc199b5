//! From a plan to a stage: themes, pictures, and the outputs that are served; windows are only counted.

use std::collections::BTreeMap;
use std::rc::Rc;

use fivemark_scene::{Motion, UnknownLanguage, Words};
use fivemark_themes::LoadedTheme;
use thiserror::Error;

use super::{Painted, Served, Stage, Wake};
use crate::canvas::{CanvasError, CanvasFeed, CanvasOptions, PATIENCE};
use crate::clock::MonoClock;
use crate::connection::Shared;
use crate::excerpt::Excerpt;
use crate::frames::{Frames, PipeError};
use crate::live::{Followed, LivePicture};
use crate::pictures::{PictureError, PictureWriter};
use crate::plan::{Fps, Output, Picture, Plan, To, USUAL_SIZE, WindowPlan, make_screen};
use crate::theme_watch::ThemeWatch;
use crate::voice::Voice;

/// What a plan is set up with.
pub struct Cast<'a> {
    /// The feed in words.
    pub feed: &'a str,
    /// The display's access key.
    pub access_key: Option<&'a str>,
    /// The display's clock.
    pub clock: MonoClock,
    /// What everything rings that changes something.
    pub wake: Wake,
    /// End when the heat is provisional.
    pub until_provisional: bool,
    /// Where lines for people go.
    pub voice: Voice,
}

/// Why a plan can't be shown.
#[derive(Debug, Error)]
pub enum SetupError {
    /// A theme has faults.
    #[error("the theme `{name}` can't be used: {faults}")]
    Theme {
        /// As it was named.
        name: String,
        /// One a line.
        faults: String,
    },
    /// A theme can't be watched.
    #[error("the theme's files can't be watched: {0}")]
    Watch(std::io::Error),
    /// There are no words of this language.
    #[error(transparent)]
    Language(#[from] UnknownLanguage),
    /// Picture files can't be written.
    #[error(transparent)]
    Pictures(#[from] PictureError),
    /// Pages can't be served.
    #[error("output `{output}`: {source}")]
    Pages {
        /// Its name.
        output: String,
        /// Why.
        source: CanvasError,
    },
    /// Frames can't be sent.
    #[error("output `{output}`: {source}")]
    Frames {
        /// Its name.
        output: String,
        /// Why.
        source: PipeError,
    },
}

/// A window that is to be opened.
#[derive(Clone, Debug)]
pub struct WindowOutput {
    /// For its title.
    pub name: String,
    /// Which picture.
    pub picture: usize,
    /// What of it.
    pub excerpt: Excerpt,
    /// The picture takes the window's size.
    pub leads: bool,
    /// The picture is clear, and so should the window be.
    pub clear: bool,
    /// Where and how.
    pub plan: WindowPlan,
}

/// Sets everything up: the stage, the windows that are to be opened, and what the connection has to keep current.
///
/// # Errors
/// Something that the plan names can't be used.
pub fn set_up(plan: &Plan, cast: &Cast<'_>) -> Result<(Stage, Vec<WindowOutput>, Vec<Shared>), SetupError> {
    let mut known: BTreeMap<i64, Shared> = BTreeMap::new();
    let mut pictures = Vec::new();
    for (at, picture) in plan.pictures.iter().enumerate() {
        let delay_us = picture.shift.delay_us;
        let wake = cast.wake.clone();
        let shared = known.entry(delay_us).or_insert_with(|| Shared::delayed(move || wake.ring(), delay_us));
        let outputs = plan.outputs.iter().filter(|output| output.picture == at);
        let fps = outputs.map(|output| output.fps).max().unwrap_or(Fps::USUAL);
        let live = live_picture(picture, shared.clone(), cast)?;
        pictures.push(Painted::new(live, picture.ground.solid(), fps));
    }
    let mut stage = Stage::new(pictures, cast.clock, cast.wake.clone());
    stage.until_provisional = cast.until_provisional;
    let mut windows = Vec::new();
    for output in &plan.outputs {
        match &output.to {
            To::Window(window) => windows.push(window_output(plan, output, window)),
            To::Pages(_) | To::Frames(_) => serve(&mut stage, output, cast)?,
        }
    }
    stage.windows = windows.len();
    Ok((stage, windows, known.into_values().collect()))
}

fn live_picture(picture: &Picture, shared: Shared, cast: &Cast<'_>) -> Result<LivePicture, SetupError> {
    let theme = find_theme(&picture.theme)?;
    let waking = cast.wake.clone();
    let watch = ThemeWatch::start(&theme, move || waking.ring()).map_err(SetupError::Watch)?;
    let motion = if picture.reduced_motion { Motion::Reduced } else { Motion::Full };
    let size = picture.size.unwrap_or(USUAL_SIZE);
    let screen = make_screen(picture.kind, &picture.name, theme, size, motion);
    let followed = Followed { shared, clock: cast.clock, feed: cast.feed };
    let writer = |folder: &std::path::PathBuf| PictureWriter::start(folder, cast.voice);
    let moments = picture.moments.as_ref().map(writer).transpose()?;
    let mut live = LivePicture::new(screen, size, followed, moments);
    live.set_ahead_us(picture.shift.ahead_us);
    live.set_background(picture.ground.background());
    live.set_words(Rc::new(Words::of(picture.language)?));
    live.follow_theme(watch);
    Ok(live)
}

/// A theme by its name or folder.
///
/// # Errors
/// Every fault of it.
pub fn find_theme(name: &str) -> Result<Rc<LoadedTheme>, SetupError> {
    let found = fivemark_themes::find(name).map_err(|faults| {
        let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
        SetupError::Theme { name: name.to_owned(), faults: faults.join("\n") }
    });
    Ok(Rc::new(found?))
}

fn window_output(plan: &Plan, output: &Output, window: &WindowPlan) -> WindowOutput {
    let picture = &plan.pictures[output.picture];
    WindowOutput {
        name: output.name.clone(),
        picture: output.picture,
        excerpt: output.excerpt,
        leads: picture.size.is_none(),
        clear: picture.ground == crate::plan::Ground::Clear
            && output.excerpt.show == crate::excerpt::Show::Picture,
        plan: window.clone(),
    }
}

/// Starts an output that lives on threads of its own, and prints where it is.
fn serve(stage: &mut Stage, output: &Output, cast: &Cast<'_>) -> Result<(), SetupError> {
    let picture = &mut stage.pictures[output.picture];
    let wake = cast.wake.clone();
    let served = match &output.to {
        To::Window(_) => return Ok(()),
        To::Pages(address) => {
            let options = CanvasOptions {
                address: *address,
                access_key: cast.access_key,
                size: picture.size(),
                excerpt: output.excerpt,
                patience: PATIENCE,
            };
            let canvas = CanvasFeed::start(options, move || wake.ring())
                .map_err(|source| SetupError::Pages { output: output.name.clone(), source })?;
            cast.voice.say(format_args!("canvas on http://{}/", canvas.address()));
            picture.add(canvas.tap());
            Served::Pages(canvas)
        }
        To::Frames(plan) => {
            let frames = Frames::start(output, plan, cast.clock, move || wake.ring())
                .map_err(|source| SetupError::Frames { output: output.name.clone(), source })?;
            let [width, height] = output.excerpt.of(picture.size()).size();
            let (fps, pipe) = (output.fps, &plan.pipe);
            tracing::info!(
                output = output.name,
                "raw frames of {width}x{height} at {fps} a second go to {pipe}"
            );
            picture.add(frames.tap());
            Served::Frames(frames)
        }
    };
    stage.served.push((output.name.clone(), served));
    Ok(())
}
