//! The page in a browser: nothing on the console, the slider, tables by mouse and keyboard, a telephone, light, dark, print.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::json;

use super::files;
use super::webdriver::Browser;
use crate::support::Place;

/// Where the screenshots go, for people to look at.
fn pictures() -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/report");
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// A page of a run and a sweep, in a browser.
fn opened(test: &str, place: &Place) -> Option<Browser> {
    files::run(place);
    files::sweep(place);
    place.run(["report", "run.h5", "study.h5", "-o", "page.html"]).good();
    Browser::open(test, &place.path().join("page.html").canonicalize().unwrap())
}

/// Keys of the WebDriver protocol.
const RIGHT: char = '\u{e014}';
const ENTER: char = '\u{e007}';
const SPACE: char = ' ';

#[test]
fn the_slider_turns_blades_and_loads_without_a_word_on_the_console() {
    let place = Place::empty();
    let Some(browser) = opened("the_slider_turns_blades_and_loads", &place) else { return };
    let state = "const t = document.querySelector('.turn'); return [t.querySelector('output').textContent, \
        t.querySelector('g.blade').getAttribute('transform'), t.querySelector('svg.along path.line').getAttribute('d'), \
        t.querySelector('[data-load=thrust]').textContent, t.querySelector('input').getAttribute('aria-valuetext')]";
    let before = browser.script(state);
    assert_eq!(before[0], "0°");
    browser.script("document.querySelector('.turn input').focus()");
    for _ in 0..5 {
        browser.press(RIGHT);
    }
    let after = browser.script(state);
    // 60 azimuths: five steps are 30°.
    assert_eq!((&after[0], &after[4]), (&json!("30°"), &json!("30 degrees")));
    for part in 1..4 {
        assert_ne!(before[part], after[part]);
    }
    // The thrust shown is the one of that azimuth in the data beside it.
    let data = "return JSON.parse(document.querySelector('.turn script').textContent).loads.thrust[5]";
    let (thrust, shown) =
        (browser.script(data).as_f64().unwrap(), after[3].as_str().unwrap().parse::<f64>().unwrap());
    assert!((shown / thrust - 1.0).abs() < 5e-4, "{shown} of {thrust}");
    let half = "const s = document.querySelector('.turn input'); s.value = 30; s.dispatchEvent(new Event('input')); \
        return [...document.querySelectorAll('.turn svg.along path.line')].map((l) => l.getAttribute('d'))";
    let turned = browser.script(half);
    assert_eq!(turned[1], before[2], "blade 2 half a turn on meets what blade 1 met");
    assert_eq!(browser.console(), Vec::<serde_json::Value>::new());
}

/// Blade 2 leads by 132° instead of 120°: a slider step of 6° further back it meets what blade 1 meets.
#[test]
fn the_slider_turns_uneven_blades_from_where_they_stand() {
    let place = Place::empty();
    files::uneven(&place);
    place.run(["report", "uneven.h5", "-o", "page.html"]).good();
    let page = place.path().join("page.html").canonicalize().unwrap();
    let Some(browser) = Browser::open("the_slider_turns_uneven_blades", &page) else { return };
    let at = |step: usize| {
        browser.script(&format!(
            "const s = document.querySelector('.turn input'); s.value = {step}; s.dispatchEvent(new Event('input')); \
             return [[...document.querySelectorAll('.turn g.blade')].map((b) => b.getAttribute('transform').split(' ')[0]), \
             [...document.querySelectorAll('.turn svg.along path.line')].map((l) => l.getAttribute('d'))]"
        ))
    };
    let (start, ahead) = (at(0), at(22));
    assert_eq!(start[0], json!(["rotate(0", "rotate(132", "rotate(234"]));
    assert_eq!(ahead[0][0], json!("rotate(132"));
    assert_eq!(ahead[1][0], start[1][1], "blade 1, 132 degrees on, meets what blade 2 met");
    assert_eq!(browser.console(), Vec::<serde_json::Value>::new());
}

/// Long names of bodies, several propellers: no word of a figure is cut off at its edge.
#[test]
fn words_of_figures_stay_inside_them() {
    let place = Place::empty();
    files::nacelles(&place, &[]);
    place.run(["report", "nacelles.h5", "-o", "page.html"]).good();
    let page = place.path().join("page.html").canonicalize().unwrap();
    let Some(browser) = Browser::open("words_of_figures_stay_inside_them", &page) else { return };
    browser.resize(1100, 1400);
    let cut = "return [...document.querySelectorAll('svg text')].filter((t) => { \
        const b = t.getBoundingClientRect(), s = t.ownerSVGElement.getBoundingClientRect(); \
        return b.width > 0 && (b.left < s.left - 1 || b.right > s.right + 1); }).map((t) => t.textContent)";
    assert_eq!(browser.script(cut), json!([]));
    fs::write(pictures().join("nacelles.png"), browser.screenshot()).unwrap();
}

#[test]
fn tables_sort_by_mouse_and_by_keyboard() {
    let place = Place::empty();
    let Some(browser) = opened("tables_sort_by_mouse_and_by_keyboard", &place) else { return };
    let table =
        "[...document.querySelectorAll('table')].find((t) => t.caption.textContent.startsWith('Ranking'))";
    let column = |n: usize| {
        let script = format!(
            "return [{table}.tHead.rows[0].cells[{n}].getAttribute('aria-sort'), \
             ...[...{table}.tBodies[0].rows].map((r) => Number(r.cells[{n}].dataset.v))]"
        );
        let values = browser.script(&script).as_array().unwrap().clone();
        let numbers: Vec<f64> = values[1..].iter().map(|v| v.as_f64().unwrap()).collect();
        (values[0].as_str().unwrap().to_owned(), numbers)
    };
    // Loss of efficiency, the fifth column, does not follow the rank.
    browser.script(&format!("{table}.setAttribute('id', 'ranking'); {table}.scrollIntoView()"));
    browser.click("#ranking th:nth-child(5) button");
    let (sorted, numbers) = column(4);
    assert!(sorted == "ascending" && numbers.is_sorted(), "{sorted} {numbers:?}");
    browser.script("document.querySelector('#ranking th:nth-child(5) button').focus()");
    browser.press(ENTER);
    let (sorted, numbers) = column(4);
    assert!(sorted == "descending" && numbers.iter().rev().is_sorted(), "{sorted} {numbers:?}");
    browser.script("document.querySelector('#ranking th:nth-child(1) button').focus()");
    browser.press(SPACE);
    assert_eq!(column(0).1, [1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
    assert_eq!(column(4).0, "none");
}

#[test]
fn marks_of_a_chart_are_walked_by_keyboard() {
    let place = Place::empty();
    let Some(browser) = opened("marks_of_a_chart_are_walked_by_keyboard", &place) else { return };
    let chart = "[...document.querySelectorAll('figure.chart')].find((f) => f.querySelector('rect.bar') && f.textContent.includes('order n'))";
    browser.script(&format!("{chart}.querySelector('svg').focus()"));
    // Two blades alike have no bar at odd orders.
    for order in ["2P, ", "4P, "] {
        browser.press(RIGHT);
        let told = browser.script(&format!("return {chart}.querySelector('.readout').textContent"));
        let told = told.as_str().unwrap();
        assert!(told.starts_with(order) && told.contains("Hz") && told.ends_with('N'), "{told}");
    }
}

#[test]
fn a_telephone_scrolls_tables_and_not_the_page() {
    let place = Place::empty();
    let Some(browser) = opened("a_telephone_scrolls_tables_and_not_the_page", &place) else { return };
    browser.resize(360, 740);
    let widths =
        browser.script("return [document.documentElement.scrollWidth, document.documentElement.clientWidth]");
    assert_eq!(widths, json!([360, 360]));
    fs::write(pictures().join("telephone.png"), browser.screenshot()).unwrap();
    // A wide table scrolls in its frame.
    let inner = "return [...document.querySelectorAll('.scroll')].some((s) => s.scrollWidth > s.clientWidth)";
    assert_eq!(browser.script(inner), json!(true));
}

#[test]
fn light_and_dark_follow_the_system_and_the_button_with_enough_contrast() {
    let place = Place::empty();
    let Some(browser) = opened("light_and_dark_follow_the_system_and_the_button", &place) else { return };
    browser.resize(1100, 1400);
    let ground = "return getComputedStyle(document.body).backgroundColor";
    let mut grounds = Vec::new();
    for scheme in ["light", "dark"] {
        browser.prefer(scheme);
        grounds.push(browser.script(ground));
        let worst = browser.script(CONTRAST);
        assert!(worst[0].as_f64().unwrap() >= 4.5, "{scheme}: {worst}");
        fs::write(pictures().join(format!("{scheme}.png")), browser.screenshot()).unwrap();
    }
    assert_ne!(grounds[0], grounds[1]);
    browser.click("#theme");
    assert_eq!(browser.script(ground), grounds[0]);
    assert_eq!(browser.script("return document.getElementById('theme').textContent"), "Dark");
}

/// Least contrast of any text with the ground behind it (WCAG 2, relative luminance), and the text.
const CONTRAST: &str = r"
  const linear = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  const parse = (c) => c.match(/[\d.]+/g).map(Number);
  const light = ([r, g, b]) => 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
  const behind = (e) => {
    for (; e; e = e.parentElement) {
      const c = parse(getComputedStyle(e).backgroundColor);
      if (c.length < 4 || c[3] > 0.99) return c;
    }
    return [255, 255, 255];
  };
  let worst = [99, ''];
  for (const e of document.querySelectorAll('body *')) {
    if (e.closest('script, style, g.blade') || ![...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim())) continue;
    if (e.tagName === 'title' || !e.getClientRects().length) continue;
    const style = getComputedStyle(e), ink = e.namespaceURI.endsWith('svg') ? style.fill : style.color;
    const [a, b] = [light(parse(ink)), light(behind(e))].sort((x, y) => y - x), ratio = (a + 0.05) / (b + 0.05);
    if (ratio < worst[0]) worst = [ratio, e.tagName + ' ' + e.className.toString() + ' ' + e.textContent.slice(0, 40)];
  }
  return worst;";

#[test]
fn it_prints_on_a4() {
    let place = Place::empty();
    let Some(browser) = opened("it_prints_on_a4", &place) else { return };
    // Paper is light whatever the screen is.
    browser.prefer("dark");
    let pdf = browser.print();
    assert!(pdf.starts_with(b"%PDF"));
    fs::write(pictures().join("print.pdf"), &pdf).unwrap();
    let pages = count(&pdf, b"/Type /Page\n") + count(&pdf, b"/Type /Page/") + count(&pdf, b"/Type /Page ");
    // Two files with their figures, the inputs of both in full, validation opened, cautions.
    assert!((10..=30).contains(&pages), "{pages} pages");
    // A4 in points.
    assert!(count(&pdf, b"/MediaBox [0 0 594") + count(&pdf, b"/MediaBox [0 0 595") > 0);
}

fn count(bytes: &[u8], part: &[u8]) -> usize {
    bytes.windows(part.len()).filter(|window| *window == part).count()
}
