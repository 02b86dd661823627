//! `wakebeat completions` and `wakebeat man`.

use std::process::Command;

use crate::support::{Place, skip};

/// Runs a shell that only parses; `None` where there is no such shell.
fn parses(shell: &str, script: &std::path::Path) -> Option<bool> {
    Command::new(shell).arg("-n").arg(script).output().ok().map(|output| output.status.success())
}

#[test]
fn shells_parse_their_completions() {
    let place = Place::empty();
    for shell in ["bash", "zsh", "fish"] {
        let script = place.run(["completions", shell]).good();
        for words in ["scenario", "placement-study", "explain"] {
            assert!(script.contains(words), "{shell}: {words}");
        }
        let file = place.path().join(shell);
        std::fs::write(&file, script).unwrap();
        match parses(shell, &file) {
            Some(good) => assert!(good, "{shell}"),
            None if shell == "bash" => skip("shells_parse_their_completions", "there is no bash"),
            None => {}
        }
    }
    std::fs::write(place.path().join("broken"), "if then (").unwrap();
    assert_ne!(parses("bash", &place.path().join("broken")), Some(true));
}

/// bash asks the script as it does at the prompt: `wakebeat pl<TAB>`.
#[test]
fn bash_completes_a_command() {
    let place = Place::empty();
    std::fs::write(place.path().join("script"), place.run(["completions", "bash"]).good()).unwrap();
    let ask = "source ./script; COMP_WORDS=(wakebeat pl); COMP_CWORD=1; _wakebeat wakebeat pl wakebeat; echo \"${COMPREPLY[@]}\"";
    match Command::new("bash").args(["-c", ask]).current_dir(place.path()).output() {
        Ok(output) => assert_eq!(String::from_utf8_lossy(&output.stdout).trim(), "plot", "{output:?}"),
        Err(_) => skip("bash_completes_a_command", "there is no bash"),
    }
}

#[test]
fn an_unknown_shell_names_the_known_ones() {
    let text = Place::empty().run(["completions", "bsh"]).bad();
    assert!(text.contains("bash") && text.contains("fish"), "{text}");
}

#[test]
fn every_command_has_its_page() {
    let place = Place::empty();
    place.run(["man", "-o", "pages", "-q"]).good();
    let program = std::fs::read_to_string(place.path().join("pages/wakebeat.1")).unwrap();
    let help = place.run(["-h"]).good();
    let lines =
        help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let commands: Vec<&str> = lines
        .filter(|line| !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect();
    assert!(commands.len() >= 14, "{commands:?}");
    for command in &commands {
        let page = std::fs::read_to_string(place.path().join(format!("pages/wakebeat-{command}.1"))).unwrap();
        let name =
            page.lines().find_map(|line| line.strip_prefix(".TH ")).unwrap_or_else(|| panic!("{command}"));
        assert!(name.replace('\\', "").starts_with(&format!("wakebeat-{command} 1")), "{command}: {name}");
        for heading in [".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION", ".SH OPTIONS", ".SH NOTES", "Example"]
        {
            assert!(page.contains(heading), "{command}: {heading}");
        }
        assert!(
            program.replace('\\', "").contains(&format!("wakebeat-{command}(1)")),
            "{command}: {program}"
        );
        assert_eq!(place.run(["man", command]).good(), page, "{command}");
        // A line that begins with a dot and is no request would be lost.
        let requests = [".TH", ".SH", ".TP", ".RS", ".RE", ".br", ".ie", ".el", ".nf", ".fi", ".PP", ".IP"];
        for line in page.lines().filter(|line| line.starts_with('.')) {
            assert!(requests.iter().any(|request| line.starts_with(request)), "{command}: {line}");
        }
    }
    let pages = std::fs::read_dir(place.path().join("pages")).unwrap().count();
    assert_eq!(pages, commands.len() + 1);
}

#[test]
fn a_page_of_no_command_names_the_commands() {
    let text = Place::empty().run(["man", "rnu"]).bad();
    assert!(text.contains("rnu") && text.contains("sweep"), "{text}");
}
