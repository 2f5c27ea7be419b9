//! Pictures as text: SVG 1.1, as far as charts need it.

use std::fmt::Write;

/// A picture that is being drawn. It has no colours of its own but classes: `ink` for lines and
/// text, `faint` for a grid, and `s0`, `s1`, … for what is shown; a style sheet in the picture
/// gives them colours for light and for dark surroundings.
#[derive(Debug)]
pub(crate) struct Svg {
    body: String,
    width: f64,
    height: f64,
}

/// Where a text stands about its point.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// Colours that can be told apart by their lightness too, so that print and colour-blind eyes have
/// them; every line also has its own dashes and marks.
const STYLE: &str = "\
text{font:14px system-ui,sans-serif;fill:#1b1b1b}\
.title{font-weight:600;font-size:16px}\
.paper{fill:#fff}.ink{stroke:#1b1b1b;fill:none}.faint{stroke:#d5d5d5;fill:none}\
.line{fill:none;stroke-width:2.5}\
.s0{stroke:#b3261e;color:#b3261e}.s1{stroke:#0b57a4;color:#0b57a4}\
.s2{stroke:#3c3c3c;color:#3c3c3c}.s3{stroke:#2e7d32;color:#2e7d32}\
.mark{fill:currentColor}\
@media(prefers-color-scheme:dark){text{fill:#ececec}.paper{fill:#161616}\
.ink{stroke:#ececec}.faint{stroke:#3d3d3d}\
.s0{stroke:#ff8a80;color:#ff8a80}.s1{stroke:#82b1ff;color:#82b1ff}\
.s2{stroke:#cfcfcf;color:#cfcfcf}.s3{stroke:#81c784;color:#81c784}}";

impl Svg {
    pub(crate) fn new(width: f64, height: f64) -> Self {
        Self {
            body: String::new(),
            width,
            height,
        }
    }

    fn add(&mut self, element: std::fmt::Arguments<'_>) {
        // Writing to a string does not fail.
        let _ = self.body.write_fmt(element);
        self.body.push('\n');
    }

    pub(crate) fn text(&mut self, x: f64, y: f64, anchor: Anchor, class: &str, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let text = escaped(text);
        self.add(format_args!(
            r#"<text x="{x:.1}" y="{y:.1}" text-anchor="{anchor}" class="{class}">{text}</text>"#
        ));
    }

    /// A text that reads upwards, centred on its point.
    pub(crate) fn upright(&mut self, x: f64, y: f64, text: &str) {
        let text = escaped(text);
        self.add(format_args!(
            r#"<text transform="translate({x:.1} {y:.1}) rotate(-90)" text-anchor="middle">{text}</text>"#
        ));
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), class: &str) {
        self.add(format_args!(
            r#"<line x1="{:.1}" y1="{:.1}" x2="{:.1}" y2="{:.1}" class="{class}"/>"#,
            from.0, from.1, to.0, to.1
        ));
    }

    pub(crate) fn path(&mut self, points: &[(f64, f64)], class: &str, dashes: &str) {
        let mut path = String::new();
        for (n, (x, y)) in points.iter().enumerate() {
            let command = if n == 0 { 'M' } else { 'L' };
            let _ = write!(path, "{command}{x:.1} {y:.1}");
        }
        self.add(format_args!(
            r#"<path d="{path}" class="{class}" stroke-dasharray="{dashes}"/>"#
        ));
    }

    /// A mark of a kind, by number: a disc, a square, a diamond.
    pub(crate) fn mark(&mut self, x: f64, y: f64, kind: usize, class: &str) {
        match kind % 3 {
            0 => self.add(format_args!(
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="4" class="{class} mark"/>"#
            )),
            1 => self.add(format_args!(
                r#"<rect x="{:.1}" y="{:.1}" width="8" height="8" class="{class} mark"/>"#,
                x - 4.0,
                y - 4.0
            )),
            _ => self.add(format_args!(
                r#"<path d="M{x:.1} {:.1}l5 5l-5 5l-5 -5z" class="{class} mark"/>"#,
                y - 5.0
            )),
        }
    }

    /// The whole picture. Its title and description are there for those who can't see it.
    pub(crate) fn finish(self, title: &str, description: &str) -> String {
        let Self {
            body,
            width,
            height,
        } = self;
        let (title, description) = (escaped(title), escaped(description));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" \
             width=\"{width}\" height=\"{height}\" role=\"img\" aria-labelledby=\"t d\">\n\
             <title id=\"t\">{title}</title>\n<desc id=\"d\">{description}</desc>\n\
             <style>{STYLE}</style>\n<rect width=\"100%\" height=\"100%\" class=\"paper\"/>\n\
             {body}</svg>\n"
        )
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
