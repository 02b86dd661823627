//! A browser to test with: chromium through chromedriver, spoken to by its protocol (W3C WebDriver) over HTTP.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::support::skip;

/// Seconds that the browser may take for one command on a busy machine.
const PATIENCE_S: u64 = 300;

/// A session; the browser ends with it.
pub struct Browser {
    driver: Child,
    session: String,
    profile: TempDir,
}

impl Browser {
    /// Opens a page; a visible word and `None` where there is no browser.
    pub fn open(test: &str, page: &Path) -> Option<Self> {
        let there =
            |program: &str| Command::new(program).arg("--version").output().is_ok_and(|o| o.status.success());
        if !there("chromedriver") || !there("chromium") {
            skip(test, "install the browser with `sh .ci/setup --browser`");
            return None;
        }
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(driver.stdout.take().unwrap()).lines();
        let port = lines
            .find_map(|line| {
                let line = line.unwrap();
                let (_, rest) = line.split_once("successfully on port ")?;
                rest.trim_end_matches('.').parse::<u16>().ok()
            })
            .unwrap();
        // Its pipe must not fill.
        std::thread::spawn(move || lines.for_each(drop));
        let profile = tempfile::tempdir().unwrap();
        let mut browser = Self { driver, session: format!("http://127.0.0.1:{port}/session"), profile };
        let options = json!({
            "args": ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
                format!("--user-data-dir={}", browser.profile.path().display())],
        });
        let capabilities = json!({ "alwaysMatch": {
            "goog:chromeOptions": options, "goog:loggingPrefs": { "browser": "ALL" } } });
        let opened = browser.post("", &json!({ "capabilities": capabilities }));
        let id = opened["sessionId"].as_str().unwrap().to_owned();
        browser.session = format!("{}/{id}", browser.session);
        browser.post("/url", &json!({ "url": format!("file://{}", page.display()) }));
        Some(browser)
    }

    fn post(&self, command: &str, body: &Value) -> Value {
        let request = minreq::post(format!("{}{command}", self.session))
            .with_header("Content-Type", "application/json; charset=utf-8")
            .with_body(body.to_string())
            .with_timeout(PATIENCE_S);
        let response = request.send().unwrap();
        let answer: Value = serde_json::from_str(response.as_str().unwrap()).unwrap();
        assert_eq!(response.status_code, 200, "{command} {body}: {answer}");
        answer["value"].clone()
    }

    /// Value of a script that returns one.
    pub fn script(&self, script: &str) -> Value {
        self.post("/execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// A command of the browser's own protocol.
    pub fn devtools(&self, command: &str, params: &Value) -> Value {
        self.post("/goog/cdp/execute", &json!({ "cmd": command, "params": params }))
    }

    /// Size of the page in CSS pixels, as on a device of that width.
    pub fn resize(&self, width: u32, height: u32) {
        let metrics = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.devtools("Emulation.setDeviceMetricsOverride", &metrics);
    }

    /// `light` or `dark`, as the system would ask for.
    pub fn prefer(&self, scheme: &str) {
        let features = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
        self.devtools("Emulation.setEmulatedMedia", &features);
    }

    /// Keys into whatever has the focus.
    pub fn press(&self, key: char) {
        let strokes = json!([{ "type": "keyDown", "value": key }, { "type": "keyUp", "value": key }]);
        self.post("/actions", &json!({ "actions": [{ "type": "key", "id": "keys", "actions": strokes }] }));
    }

    /// A click of the mouse on the first element that a selector finds.
    pub fn click(&self, selector: &str) {
        let found = self.post("/element", &json!({ "using": "css selector", "value": selector }));
        let id = found.as_object().unwrap().values().next().unwrap().as_str().unwrap().to_owned();
        self.post(&format!("/element/{id}/click"), &json!({}));
    }

    /// Everything the browser had to say on its console.
    pub fn console(&self) -> Vec<Value> {
        self.post("/se/log", &json!({ "type": "browser" })).as_array().unwrap().clone()
    }

    /// The window as PNG.
    pub fn screenshot(&self) -> Vec<u8> {
        let shot = self.devtools("Page.captureScreenshot", &json!({ "format": "png" }));
        STANDARD.decode(shot["data"].as_str().unwrap()).unwrap()
    }

    /// The page as PDF on A4.
    pub fn print(&self) -> Vec<u8> {
        let paper = json!({ "page": { "width": 21.0, "height": 29.7 }, "background": true });
        STANDARD.decode(self.post("/print", &paper).as_str().unwrap()).unwrap()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // The session first, which ends the browser; a failed test may have lost it already.
        let _ = minreq::delete(&self.session).with_timeout(PATIENCE_S).send();
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
