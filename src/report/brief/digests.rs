//! By which paper and repository are held against each other.

use maud::{Markup, html};
use qrcode::{Color, EcLevel, QrCode};
use svg::Document;
use svg::node::element::{Path, Rectangle, Title};

use super::{short_text, shortened};
use crate::check::MissionResult;

/// Files that paper has room for; a screen shows all, and the digest of the whole covers them.
const ON_PAPER: usize = 10;
/// Files that are shown at all.
const MOST: usize = 200;
/// Free modules around the code (ISO/IEC 18004, 4 of them).
const QUIET: usize = 4;

pub(super) fn digests(checked: &MissionResult) -> Markup {
    let digests = &checked.digests;
    html! {
        section.digests {
            div {
                h2 { "Files behind this page" }
                p {
                    "offing " (env!("CARGO_PKG_VERSION")) ", policy " code { (short_text(&checked.policy)) }
                    ", mission file " code { (short_text(&checked.path)) } "."
                }
                p {
                    "Digest of all files (SHA-256), also in the code: "
                    code.whole { (digests.whole) }
                }
                @if !checked.approvals.is_empty() {
                    p {
                        "Signed by "
                        @for (index, approval) in checked.approvals.iter().take(10).enumerate() {
                            @if index > 0 { ", " }
                            b { (short_text(&approval.principal)) }
                            @if !approval.good { " (not valid for this plan)" }
                        }
                        "."
                    }
                }
            }
            (code(&digests.whole))
            table.files {
                caption { "Files, each with its SHA-256" }
                thead { tr { th scope="col" { "what" } th scope="col" { "file" } th scope="col" { "SHA-256" } } }
                tbody {
                    @for (index, file) in digests.files.iter().take(MOST).enumerate() {
                        tr class=[(index >= ON_PAPER).then_some("more")] {
                            th scope="row" { (file.role) }
                            td { (shortened(&file.path, 80)) }
                            td { code { (file.sha256) } }
                        }
                    }
                }
            }
            @if digests.files.len() > ON_PAPER {
                p.only-print.note {
                    "… and " (digests.files.len() - ON_PAPER)
                    " more files; the digest of all files covers them."
                }
            }
        }
    }
}

/// The digest as a code that a camera reads, drawn in rectangles; nothing where it does not fit.
fn code(whole: &str) -> Markup {
    let Ok(code) = QrCode::with_error_correction_level(whole.as_bytes(), EcLevel::M) else {
        return html! {};
    };
    let wide = code.width();
    let colours = code.to_colors();
    let mut data = String::new();
    for row in 0..wide {
        let mut column = 0;
        while column < wide {
            let from = column;
            while column < wide && colours[row * wide + column] == Color::Dark {
                column += 1;
            }
            if column > from {
                let (x, y, run) = (from + QUIET, row + QUIET, column - from);
                data.push_str(&format!("M{x} {y}h{run}v1h-{run}z"));
            }
            column += 1;
        }
    }
    let size = wide + 2 * QUIET;
    let drawing = Document::new()
        .set("class", "code")
        .set("viewBox", format!("0 0 {size} {size}"))
        .set("role", "img")
        .set("aria-labelledby", "code-title")
        .set("shape-rendering", "crispEdges")
        .add(Title::new("The digest of all files as a QR code").set("id", "code-title"))
        .add(
            Rectangle::new()
                .set("width", size)
                .set("height", size)
                .set("fill", "#ffffff"),
        )
        .add(Path::new().set("d", data).set("fill", "#000000"));
    super::super::figures::style::inlined(&drawing)
}
