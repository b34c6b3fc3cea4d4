//! Pictures drawn by hand: the same bytes every time, a name and a description in each, colours from the page.

pub mod bar;
pub mod card;
pub mod png;
pub mod steps;
pub mod strip;

/// Text for SVG and HTML.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Style of drawings that stand alone: ink and accent as on the page, with a ground of their own.
const STYLE: &str = "text{font:12px system-ui,sans-serif;fill:#1b2230}.axis,.tick,.end{stroke:#1b2230;fill:none}.axis{stroke-opacity:.45}\
.end{stroke-width:3}.span{fill:#8a2a6b}.route{stroke:#8a2a6b;stroke-width:2.5;fill:none;stroke-linejoin:round}.off{fill:#8a2a6b}\
.change{fill:#fff;stroke:#8a2a6b;stroke-width:2.5}.dot{stroke:#8a2a6b;stroke-width:6;stroke-linecap:round}.line{fill:none;stroke:#1b2230}.told{stroke-dasharray:2 3}.untried{stroke-dasharray:6 4}.ink{fill:none;stroke:#1b2230;stroke-width:1.4}.thin{fill:none;stroke:#8a2a6b;stroke-width:.8}.mark{fill:none;stroke:#8a2a6b;stroke-width:1.5}.ways .col{fill:none;stroke:#1b2230;stroke-opacity:.12}.ways .dot{fill:#8a2a6b;stroke:none}.gone{fill:#fff;stroke:#8a2a6b;stroke-width:1.6}.ways text{fill:#4c5464}.ways .part{font-weight:650;fill:#1b2230}.mid{text-anchor:middle}.far{text-anchor:end}.col{fill:#1b2230;fill-opacity:.04}.odd{fill-opacity:.1}";

/// A drawing as a file of its own, on a white ground.
pub fn standalone(svg: &str) -> String {
    match svg.find('>') {
        Some(at) => format!(
            "{} xmlns=\"http://www.w3.org/2000/svg\"><style>{STYLE}</style><rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>{}\n",
            &svg[..at],
            &svg[at + 1..]
        ),
        None => String::new(),
    }
}
