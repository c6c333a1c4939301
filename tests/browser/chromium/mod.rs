//! A browser without a window, without a network and with a profile that is thrown away. All tests that run
//! at one time share one, and its pages one after the other.

mod process;
mod session;

use std::path::Path;

use data_encoding::BASE64;
use serde_json::{Value as Json, json};

use session::Session;

/// How a page is looked at.
#[derive(Clone, Copy, Debug)]
pub struct View {
    /// Of the window, CSS px.
    pub width: u32,
    /// Of the window, CSS px.
    pub height: u32,
    /// Whether the reader asks for a dark page.
    pub dark: bool,
}

/// A telephone held upright.
pub const PHONE: View = View::of(390, 844);
/// A window on a desk.
pub const DESK: View = View::of(1280, 900);
/// A sheet of A4 between its margins, 190 mm × 281 mm at 96 px to the inch.
pub const SHEET: View = View::of(718, 1062);

impl View {
    const fn of(width: u32, height: u32) -> Self {
        Self {
            width,
            height,
            dark: false,
        }
    }

    /// The same by day or by night.
    pub const fn dark(self, dark: bool) -> Self {
        Self { dark, ..self }
    }
}

/// What came of a page.
pub struct Printed {
    /// The file, ISO 32000.
    pub pdf: Vec<u8>,
    /// What the page wrote on its console, and what the browser refused it.
    pub console: Vec<String>,
}

/// Prints a page as the browser does where nobody sets anything, on the paper that the page asks for.
pub fn print(page: &str, header_and_footer: bool) -> Printed {
    on_disk(page, |file| print_file(file, header_and_footer))
}

/// As [`print`], of a file.
pub fn print_file(file: &Path, header_and_footer: bool) -> Printed {
    let mut session = opened(file, DESK);
    let options = json!({
        "displayHeaderFooter": header_and_footer, "preferCSSPageSize": true, "printBackground": true,
    });
    let answer = session.call("Page.printToPDF", &options);
    Printed {
        pdf: bytes(&answer),
        console: session.console(),
    }
}

/// What a page writes on its console as it is loaded.
pub fn console(page: &str) -> Vec<String> {
    on_disk(page, |file| opened(file, DESK).console())
}

/// What a script finds on a page as it is. The script calls `say` once with what it found.
pub fn said(page: &str, script: &str, view: View) -> Json {
    on_disk(page, |file| {
        let mut session = opened(file, view);
        session.evaluate(&format!("new Promise(say=>{{{script}\n}})"))
    })
}

/// Bytes of a picture of a page, as PNG.
pub fn shot(page: &str, view: View) -> usize {
    on_disk(page, |file| {
        let answer = opened(file, view).call("Page.captureScreenshot", &json!({}));
        bytes(&answer).len()
    })
}

fn on_disk<T>(page: &str, look: impl FnOnce(&Path) -> T) -> T {
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("page.html");
    std::fs::write(&file, page).unwrap();
    look(&file)
}

/// A page that is loaded.
fn opened(file: &Path, view: View) -> Session {
    let mut session = Session::new(process::shared());
    let scheme = if view.dark { "dark" } else { "light" };
    let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
    session.call("Emulation.setEmulatedMedia", &media);
    let screen = json!({
        "width": view.width, "height": view.height, "deviceScaleFactor": 1, "mobile": false,
    });
    session.call("Emulation.setDeviceMetricsOverride", &screen);
    session.open(&format!("file://{}", file.display()));
    session
}

fn bytes(answer: &Json) -> Vec<u8> {
    let text = answer["data"].as_str().unwrap();
    BASE64.decode(text.as_bytes()).unwrap()
}
