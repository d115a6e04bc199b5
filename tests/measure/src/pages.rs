//! What somebody would build instead: the same board as an HTML page and as a canvas page, in a browser without a
//! window. Counts the CPU of the browser's whole family of processes for each frame.

use std::process::{Command, Stdio};
use std::time::Duration;

use anyhow::Context;
use axum::Router;
use axum::response::Html;
use axum::routing::{get, post};
use tokio::net::TcpListener;
use tokio::sync::mpsc;

use crate::process::{Running, tree_cpu};
use crate::report::{Figure, Goal};
use crate::samples::Samples;

const NAME: &str = "pages";
const HTML: &str = include_str!("pages/html.html");
const CANVAS: &str = include_str!("pages/canvas.html");
/// Frames between two marks, as the pages count them.
const FRAMES: f64 = 300.0;
/// Pairs of marks that a page sends.
const ROUNDS: usize = 5;
/// Longest wait for a mark: at a frame in 200 ms a page would be no board any more.
const PATIENCE: Duration = Duration::from_secs(60);

/// Measures.
///
/// # Errors
/// There is no browser, or it draws nothing.
pub fn measure() -> anyhow::Result<Vec<Figure>> {
    let html = in_browser(HTML)?;
    let canvas = in_browser(CANVAS)?;
    let what = |page: &str| {
        format!("the same board as {page} in headless Chromium, all its processes' CPU per frame")
    };
    Ok(vec![
        Figure::of(NAME, what("an HTML page"), "ms", &html, Goal::Yardstick),
        Figure::of(NAME, what("a canvas page"), "ms", &canvas, Goal::Yardstick),
    ])
}

fn in_browser(page: &'static str) -> anyhow::Result<Samples> {
    crate::waiting()?.block_on(async {
        let (marks, mut marked) = mpsc::channel::<()>(1);
        let router = Router::new().route("/", get(async move || Html(page))).route(
            "/mark",
            post(move || {
                let marks = marks.clone();
                // Whoever measures may have seen enough.
                async move { marks.send(()).await.unwrap_or_default() }
            }),
        );
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let url = format!("http://{}/", listener.local_addr()?);
        let server = tokio::spawn(async move { axum::serve(listener, router).await });
        let profile = crate::folder()?;
        let browser = start(&url, profile.path())?;
        let mut samples = Samples::default();
        for _ in 0..ROUNDS {
            wait(&mut marked).await?;
            let began = tree_cpu(browser.id());
            wait(&mut marked).await?;
            samples.push((tree_cpu(browser.id()) - began).as_secs_f64() * 1e3 / FRAMES);
        }
        server.abort();
        Ok(samples)
    })
}

async fn wait(marked: &mut mpsc::Receiver<()>) -> anyhow::Result<()> {
    tokio::time::timeout(PATIENCE, marked.recv())
        .await
        .context("the page in the browser draws nothing")?
        .context("the page's server has ended")
}

/// Opens a page in a browser without a window.
///
/// # Errors
/// There is no browser.
pub fn start(url: &str, profile: &std::path::Path) -> anyhow::Result<Running> {
    Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run"])
        .arg("--window-size=1920,1080")
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(url)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .map(Running)
        .context("there is no browser called chromium")
}
