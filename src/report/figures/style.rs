//! What all figures have in common: palette, text, numbers, and the SVG around a drawing.
//!
//! Colours are classes over custom properties, so that one drawing serves a light page, a dark one
//! and paper. Lines differ by dash as well as by colour, and areas by pattern, so that they can be
//! told apart in grey and by a colour-blind reader.

use svg::Document;
use svg::Node;
use svg::node::element::{Definitions, Description, Element, Line, Path, Pattern, Style, Title};

pub(crate) use super::lettering::{cut, letter, width_of, wrapped};
use crate::source::printable_line;

/// Size of ordinary text in units of a drawing. On a phone 390 px wide a figure of 400 units takes
/// 375 px, so that small text is 11 px there.
pub(crate) const TEXT: f64 = 12.0;
/// Size of small text.
pub(crate) const SMALL: f64 = 11.8;

/// Room for the heading of a figure that is a file of its own.
const HEADING: f64 = 44.0;

/// Colours by day. Land, shoal water and deep water as charts print them (International
/// Hydrographic Organization, INT 1: buff, blue tint, white); magenta for what is laid over the
/// chart; the lines from the set of Okabe and Ito (2008), which colour-blind readers can tell
/// apart, darkened where thin lines on white ask for it.
const DAY: &str = "--paper:#ffffff;--ink:#14181c;--soft:#4d5660;--rule:#c9ced3;--grid:#e3e6e9;\
--land:#f0dfae;--shore:#6e5a1e;--shoal:#cfe6f2;--deep:#ffffff;--halo:#ffffff;\
--route:#14181c;--over:#9c0f6b;--danger:#b3261e;--one:#00588f;--two:#b24a00;--three:#006b4f;\
--four:#7a3b8f;--fill-one:#d5e6f2;--fill-bad:#f6d5cf;--wind:#00588f";

/// Colours by night.
const NIGHT: &str = "--paper:#14181c;--ink:#f0f2f4;--soft:#b4bcc4;--rule:#4a525a;--grid:#2b3238;\
--land:#4b4227;--shore:#d9c27a;--shoal:#1f3a4a;--deep:#14181c;--halo:#14181c;\
--route:#f0f2f4;--over:#f08fd0;--danger:#ff9d8f;--one:#6cc0f5;--two:#ffab66;--three:#4fd6ae;\
--four:#d3a4e6;--fill-one:#1d3a50;--fill-bad:#54231d;--wind:#6cc0f5";

/// How the classes of a drawing look.
const CLASSES: &str = "\
.fig text{font-family:system-ui,-apple-system,'Segoe UI',Roboto,'Noto Sans',sans-serif;\
font-size:12px;fill:var(--ink)}\
.fig text.small{font-size:11.8px}.fig text.soft{fill:var(--soft)}.fig text.strong{font-weight:700}\
.fig text.over{fill:var(--over)}.fig text.danger{fill:var(--danger)}\
.fig text.one{fill:var(--one)}.fig text.two{fill:var(--two)}.fig text.three{fill:var(--three)}\
.fig text.four{fill:var(--four)}\
.fig text.halo{paint-order:stroke;stroke:var(--halo);stroke-width:3px;stroke-linejoin:round}\
.fig .paper{fill:var(--paper)}.fig .ink{fill:var(--ink)}\
.fig .grid{stroke:var(--grid);stroke-width:1;fill:none}\
.fig .axis{stroke:var(--soft);stroke-width:1;fill:none}\
.fig .line{fill:none;stroke-width:2;stroke-linejoin:round;stroke-linecap:round}\
.fig .one{stroke:var(--one)}\
.fig .two{stroke:var(--two);stroke-dasharray:7 4}\
.fig .three{stroke:var(--three);stroke-dasharray:1.5 4;stroke-width:2.6}\
.fig .four{stroke:var(--four);stroke-dasharray:9 3 2 3}\
.fig .limit{stroke:var(--danger);stroke-width:1.5;stroke-dasharray:4 3;fill:none}\
.fig .mark{stroke:var(--over);stroke-width:1.2;stroke-dasharray:3 3;fill:none}\
.fig .fill-one{fill:var(--fill-one);stroke:none}.fig .fill-bad{fill:var(--fill-bad);stroke:none}\
.fig .land{fill:var(--land);stroke:var(--shore);stroke-width:1.2}.fig .shoal{fill:var(--shoal)}\
.fig .land-hatch{stroke:var(--shore);stroke-opacity:.38;stroke-width:.8;fill:none}\
.fig .graticule{stroke:var(--soft);stroke-opacity:.45;stroke-width:.6}\
.fig .pointer{fill:var(--danger)}.fig .safety-boat{fill:var(--three)}\
.fig .magnetic{stroke:var(--soft);stroke-width:1.2;stroke-dasharray:3 2}\
.fig .no-shore{fill:none;stroke:var(--deep);stroke-width:3}\
.fig .open-edge{fill:none;stroke:var(--one);stroke-width:2;stroke-dasharray:5 4}\
.fig .deep{fill:var(--deep)}.fig .frame{fill:none;stroke:var(--soft);stroke-width:1}\
.fig .axis.ink{fill:var(--ink)}.fig text.sounding{fill:var(--soft)}\
.fig .leader{stroke:var(--soft);stroke-width:.8}.fig text.letter{font-weight:700;font-size:12px}\
.fig .route{fill:none;stroke:var(--route);stroke-width:2;stroke-linejoin:round}\
.fig .sounding{stroke-width:1.2}.fig text.sounding{stroke:none}\
.fig text.halo.sounding{stroke:var(--halo);stroke-width:3px}\
.fig .route-arrow{fill:var(--route)}\
.fig .way-home{fill:none;stroke:var(--two);stroke-width:1.4;stroke-dasharray:6 4}\
.fig .coverage{stroke:var(--three);stroke-width:1.6;stroke-dasharray:1.5 4}\
.fig .drift{fill:none;stroke:var(--over);stroke-width:1;stroke-dasharray:2 3}\
.fig .drift-area{fill:var(--over);fill-opacity:.08}\
.fig .keep-out{fill:none;stroke:var(--over);stroke-width:1.4;stroke-dasharray:8 3}\
.fig .danger-line{fill:none;stroke:var(--danger);stroke-width:1.6;stroke-dasharray:1 3;\
stroke-linecap:round}\
.fig .danger-area{fill:none;stroke:var(--danger);stroke-opacity:.16;stroke-linecap:round;\
stroke-linejoin:round}\
.fig .danger-mark{fill:none;stroke:var(--danger);stroke-width:2}\
.fig .beam{stroke:var(--three);stroke-width:1;stroke-dasharray:4 3}.fig .mast{fill:var(--three)}\
.fig .operator{fill:var(--soft)}.fig .stop{fill:var(--paper);stroke:var(--route);stroke-width:1.6}\
.fig .near{fill:none;stroke:var(--danger);stroke-width:1.6}\
.fig .turn{fill:var(--paper);stroke:var(--over);stroke-width:2}\
.fig .no-return{fill:none;stroke:var(--over);stroke-width:2.5}\
.fig .launch{fill:var(--route)}.fig .recovery{fill:var(--paper);stroke:var(--route);stroke-width:2}\
.fig .wind{stroke:var(--wind);stroke-width:3}.fig .wind-head{fill:var(--wind)}\
.fig .hatch{stroke:var(--over);stroke-width:1;fill:none}\
.fig text.one,.fig text.two,.fig text.three,.fig text.four{stroke:none}\
.fig text.halo.one,.fig text.halo.two,.fig text.halo.three,.fig text.halo.four{stroke:var(--halo);\
stroke-dasharray:none;stroke-width:3px}";

/// The style sheet of every figure, for the head of a page that holds any or for a file of its own.
/// By day unless the reader asks for a dark page, and always by day on paper.
#[must_use]
pub(crate) fn sheet() -> String {
    format!(
        ":root{{color-scheme:light dark;{DAY}}}\
         @media (prefers-color-scheme:dark){{:root{{{NIGHT}}}}}\
         @media print{{:root{{color-scheme:light;{DAY}}}}}\
         {CLASSES}"
    )
}

/// One figure: a drawing with the words that stand in for it.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its id, also the name of its file: letters, digits and hyphens.
    pub id: &'static str,
    /// Its title.
    pub title: String,
    /// What it shows, in words, for whoever does not see it.
    pub description: String,
    /// Width and height in units of the drawing.
    pub size: (f64, f64),
    parts: Vec<Box<dyn Node>>,
}

impl Figure {
    /// A figure without anything on it yet.
    #[must_use]
    pub fn new(id: &'static str, title: &str, size: (f64, f64)) -> Self {
        Self {
            id,
            title: title.to_owned(),
            description: String::new(),
            size,
            parts: Vec::new(),
        }
    }

    /// Puts something on top of what is there.
    pub fn add<T: Into<Box<dyn Node>>>(&mut self, part: T) {
        self.parts.push(part.into());
    }

    /// A name that is unique to this figure on a page of several.
    #[must_use]
    pub fn name(&self, part: &str) -> String {
        format!("{}-{part}", self.id)
    }

    /// The figure for a page whose head holds the [`sheet`].
    #[must_use]
    pub fn inline(&self) -> String {
        inlined(&self.document(None)).into_string()
    }

    /// The figure as a file of its own, which says above the drawing what it shows, and of what: the
    /// mission or the boat, in words.
    #[must_use]
    pub fn file(&self, of: &str) -> String {
        format!("{}\n", self.document(Some(of)))
    }

    fn document(&self, of: Option<&str>) -> Document {
        let (width, height) = self.size;
        let above = if of.is_some() { HEADING } else { 0.0 };
        let (title, description) = (self.name("title"), self.name("desc"));
        let mut document = Document::new()
            .set("class", "fig")
            .set(
                "viewBox",
                format!("0 {} {} {}", n(-above), n(width), n(height + above)),
            )
            .set("role", "img")
            .set("aria-labelledby", format!("{title} {description}"))
            .add(Title::new(printable_line(&self.title)).set("id", title))
            .add(
                Description::new()
                    .set("id", description)
                    .add(svg::node::Text::new(printable_line(&self.description))),
            );
        if of.is_some() {
            document = document
                .set("width", n(2.0 * width))
                .set("height", n(2.0 * (height + above)))
                .add(Style::new(sheet()));
        }
        let paper = rectangle((0.0, -above), (width, height + above), "paper");
        document = document.add(paper);
        if let Some(of) = of {
            let rows = [(&*self.title, "strong", 20.0), (of, "soft", 36.0)];
            for (words, class, y) in rows {
                let words = cut(&printable_line(words), TEXT * 1.08, width - 16.0);
                let at = (8.0, y - above);
                document = document.add(text(at, Anchor::Start, class, &words));
            }
        }
        for part in &self.parts {
            document = document.add(part.clone());
        }
        document
    }
}

/// A drawing as it stands inside HTML, where its name space goes without saying. The drawing is made
/// of elements and escaped texts only.
#[must_use]
pub(crate) fn inlined(document: &Document) -> maud::PreEscaped<String> {
    let text = document.to_string();
    maud::PreEscaped(text.replacen(" xmlns=\"http://www.w3.org/2000/svg\"", "", 1))
}

/// A number of a drawing: a tenth of a unit is finer than any eye.
#[must_use]
pub(crate) fn n(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Where a text is fastened.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Anchor {
    /// At its beginning.
    Start,
    /// At its middle.
    Middle,
    /// At its end.
    End,
}

impl Anchor {
    fn name(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// A line of text, its base line at a point; made printable.
#[must_use]
pub(crate) fn text(
    at: (f64, f64),
    anchor: Anchor,
    class: &str,
    content: &str,
) -> svg::node::element::Text {
    let mut text = svg::node::element::Text::new(printable_line(content))
        .set("x", n(at.0))
        .set("y", n(at.1));
    if anchor != Anchor::Start {
        text = text.set("text-anchor", anchor.name());
    }
    if !class.is_empty() {
        text = text.set("class", class);
    }
    text
}

/// A rectangle by its upper left corner and its size.
#[must_use]
pub(crate) fn rectangle(
    at: (f64, f64),
    size: (f64, f64),
    class: &str,
) -> svg::node::element::Rectangle {
    svg::node::element::Rectangle::new()
        .set("x", n(at.0))
        .set("y", n(at.1))
        .set("width", n(size.0))
        .set("height", n(size.1))
        .set("class", class)
}

/// A straight line.
#[must_use]
pub(crate) fn line(from: (f64, f64), to: (f64, f64), class: &str) -> Line {
    Line::new()
        .set("x1", n(from.0))
        .set("y1", n(from.1))
        .set("x2", n(to.0))
        .set("y2", n(to.1))
        .set("class", class)
}

/// The data of a path through points; nothing where there are fewer than two.
#[must_use]
pub(crate) fn path_data(points: &[(f64, f64)], closed: bool) -> String {
    if points.len() < 2 {
        return String::new();
    }
    let mut data = String::with_capacity(points.len() * 10);
    for (index, (x, y)) in points.iter().enumerate() {
        data.push(if index == 0 { 'M' } else { 'L' });
        data.push_str(&n(*x));
        data.push(' ');
        data.push_str(&n(*y));
    }
    if closed {
        data.push('Z');
    }
    data
}

/// A path of a class.
#[must_use]
pub(crate) fn path(data: String, class: &str) -> Path {
    Path::new().set("d", data).set("class", class)
}

/// An arrow head, its tip at a point, turned so many degrees clockwise from pointing up.
#[must_use]
pub(crate) fn arrow_head(tip: (f64, f64), degrees: f64, size: f64, class: &str) -> Path {
    path(
        format!("M0 0L{0} {1}L-{0} {1}Z", n(size * 0.45), n(size)),
        class,
    )
    .set(
        "transform",
        format!(
            "translate({} {}) rotate({})",
            n(tip.0),
            n(tip.1),
            n(degrees)
        ),
    )
}

/// A pattern of slanting lines under a name, to be filled with as `url(#name)`.
#[must_use]
pub(crate) fn hatching(name: &str, spacing: f64, degrees: f64, class: &str) -> Definitions {
    let pattern = Pattern::new()
        .set("id", name)
        .set("width", n(spacing))
        .set("height", n(spacing))
        .set("patternUnits", "userSpaceOnUse")
        .set("patternTransform", format!("rotate({})", n(degrees)))
        .add(line((0.0, 0.0), (0.0, spacing), class));
    Definitions::new().add(pattern)
}

/// A group of parts.
pub(crate) type Group = Element;

/// A group of parts under a class; none where it is empty.
#[must_use]
pub(crate) fn group(class: &str) -> Group {
    let mut group = Element::new("g");
    if !class.is_empty() {
        group
            .get_attributes_mut()
            .insert("class".to_owned(), class.into());
    }
    group
}
