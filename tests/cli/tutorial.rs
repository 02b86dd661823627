//! The tutorial, run as it stands: every `sh` block in one folder, every `text` block found in what the block before it printed.

use std::path::Path;
use std::process::Command;

use crate::support::{Place, Ran, binary};

/// A fenced block of the page.
struct Block {
    language: String,
    text: String,
    line: usize,
}

fn blocks(page: &str) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut open = false;
    for (number, line) in (1..).zip(page.lines()) {
        match line.strip_prefix("```") {
            Some(_) if open => open = false,
            Some(language) => {
                open = true;
                blocks.push(Block { language: language.to_owned(), text: String::new(), line: number });
            }
            None => {
                if let Some(block) = blocks.last_mut().filter(|_| open) {
                    block.text.push_str(line);
                    block.text.push('\n');
                }
            }
        }
    }
    assert!(!open, "a block does not end");
    blocks
}

/// The shell runs the block as a user would, stopping at the first failure; `wakebeat` is the binary under test.
fn run(place: &Place, block: &Block) -> Ran {
    let folder = binary().parent().unwrap().to_path_buf();
    let path = format!("{}:{}", folder.display(), std::env::var("PATH").unwrap());
    let command =
        Command::new("sh").args(["-ec", &block.text]).env("PATH", path).current_dir(place.path()).output();
    command.unwrap().into()
}

/// The same words, and numbers within a tenth: the page shows how to read numbers, other tests hold them.
fn says(line: &str, expected: &str) -> bool {
    let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let (found, wanted) = (words(line), words(expected));
    let bare = |word: &str| word.trim_matches(['(', ')', ',', ';']).parse::<f64>().ok();
    found.len() == wanted.len()
        && found.iter().zip(&wanted).all(|(a, b)| match (bare(a), bare(b)) {
            (Some(a), Some(b)) => (a - b).abs() <= 0.1 * b.abs(),
            _ => a == b,
        })
}

#[test]
fn every_command_of_the_tutorial_works_and_prints_what_it_shows() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/TUTORIAL.md");
    let page = std::fs::read_to_string(page).unwrap();
    let place = Place::empty();
    let mut printed = String::new();
    let (mut commands, mut shown) = (0, 0);
    for block in blocks(&page) {
        match block.language.as_str() {
            "sh" => {
                printed = run(&place, &block).good();
                commands += block.text.lines().filter(|line| line.starts_with("wakebeat ")).count();
            }
            "text" => {
                for expected in block.text.lines() {
                    assert!(
                        printed.lines().any(|line| says(line, expected)),
                        "cases/TUTORIAL.md, block at line {}: no line like\n{expected}\nin\n{printed}",
                        block.line
                    );
                    shown += 1;
                }
            }
            other => panic!("line {}: a block of {other:?}; sh runs, text is compared", block.line),
        }
    }
    assert!(commands >= 12 && shown >= 25, "{commands} commands, {shown} lines shown");
    for path in ["pusher.h5", "study.h5", "chosen/case.toml", "chosen-tables/exceedance.csv"] {
        assert!(place.path().join(path).exists(), "{path}");
    }
}

#[test]
fn a_line_with_another_word_or_number_is_not_taken() {
    assert!(says("thrust  N  2.803   0.111", "thrust N 2.81 0.110"));
    assert!(!says("thrust N 2.803 0.111", "thrust N 2.803 0.211"));
    assert!(!says("thrust N 2.803", "torque N 2.803"));
    assert!(!says("a 0 b", "a 1 b"));
}
