//! Words of a picture must neither collide nor leave it. Checked on the SVG, where each word has its place.

use plotters::style::{FontStyle, IntoFont};

/// Words and the box they fill, in units of the view box.
struct Words {
    text: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// The drawing library writes a font of a height as this part of it in ems.
const HEIGHT_TO_EM: f64 = 1.24;
/// Height of figures and capitals over em, from the font's table.
const CAPITALS: f64 = 0.73;

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let from = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[from..].split('"').next()
}

fn number(tag: &str, name: &str) -> f64 {
    attribute(tag, name).unwrap().parse().unwrap()
}

fn words(svg: &str) -> Vec<Words> {
    let elements = svg.split("<text").skip(1);
    elements
        .map(|element| {
            let (tag, rest) = element.split_once('>').unwrap();
            placed(tag, rest.split("</text>").next().unwrap().trim())
        })
        .collect()
}

fn placed(tag: &str, text: &str) -> Words {
    let em = number(tag, "font-size");
    let style = if tag.contains("bold") { FontStyle::Bold } else { FontStyle::Normal };
    let font = ("sans-serif", em * HEIGHT_TO_EM, style).into_font();
    let width = f64::from(font.box_size(text).unwrap().0);
    let shift = match attribute(tag, "text-anchor") {
        Some("middle") => 0.5,
        Some("end") => 1.0,
        _ => 0.0,
    };
    let rise = match attribute(tag, "dy") {
        Some("0.76em") => 0.0, // hangs below its place
        Some("0.5ex") => 0.5,  // around it
        _ => 1.0,              // stands on it
    };
    let (x, y) = (number(tag, "x"), number(tag, "y"));
    let along = (-shift * width, (1.0 - shift) * width);
    let across = (-rise * CAPITALS * em, (1.0 - rise) * CAPITALS * em);
    let turned = tag.contains("rotate(270");
    let ((left, right), (top, bottom)) =
        if turned { (across, (-along.1, -along.0)) } else { (along, across) };
    Words { text: text.to_owned(), left: x + left, right: x + right, top: y + top, bottom: y + bottom }
}

fn overlap(a: &Words, b: &Words) -> bool {
    a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom
}

/// The text of an SVG without the pixels of images, whose coded bytes spell anything.
pub fn without_images(svg: &str) -> String {
    let pieces = svg.split("base64,");
    pieces.map(|piece| piece.split_once('"').map_or(piece, |(_, rest)| rest)).collect()
}

/// Asserts that no words overlap and all lie inside the view box.
pub fn assert_words_are_apart(name: &str, svg: &str) {
    let view: Vec<f64> = attribute(svg, "viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    let words = words(svg);
    assert!(words.len() > 10, "{name} has words");
    for (index, one) in words.iter().enumerate() {
        let inside = one.left >= 0.0 && one.right <= view[2] && one.top >= 0.0 && one.bottom <= view[3];
        assert!(inside, "{name}: `{}` leaves the picture", one.text);
        for other in &words[index + 1..] {
            assert!(!overlap(one, other), "{name}: `{}` over `{}`", one.text, other.text);
        }
    }
}

#[test]
fn words_on_each_other_are_found() {
    let text = |x: f64, words: &str| {
        format!(
            "<text x=\"{x}\" y=\"50\" dy=\"0.5ex\" text-anchor=\"start\" font-size=\"10\">\n{words}\n</text>"
        )
    };
    // Any picture drawn before registers the font; here it may be the first.
    plotters::style::register_font("sans-serif", FontStyle::Normal, dejavu::sans::regular()).ok().unwrap();
    let (first, second) = (text(0.0, "thrust"), text(20.0, "torque"));
    let both = words(&(first + &second));
    assert!(overlap(&both[0], &both[1]));
    assert!(!overlap(&both[0], &words(&text(60.0, "torque"))[0]));
}
