//! A real Chromium without a window, spoken to over two pipes in the Chrome DevTools Protocol: one JSON object a message,
//! a zero byte after each. One process serves every test; it ends, and its profile is removed, when the tests end.

use crate::support::{checkers, folders};
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// How long one answer may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(90);

/// A browser with one page open in it.
pub struct Browser {
    to: ChildStdin,
    from: Receiver<Value>,
    sent: u64,
    session: String,
    seen: Vec<Value>,
}

/// Width of a window in CSS pixels, and whether the reader prefers dark.
#[derive(Debug, Clone, Copy)]
pub struct Screen {
    pub width: u32,
    pub dark: bool,
}

static SHARED: Mutex<Option<Browser>> = Mutex::new(None);

/// The browser, for one test at a time; none where none is installed, which is said, or is a failure where it must not be.
pub fn browser() -> Option<Lent> {
    let mut shared = SHARED.lock().unwrap_or_else(PoisonError::into_inner);
    if shared.is_none() {
        *shared = Some(Browser::start(&checkers::chromium()?));
    }
    Some(Lent(shared))
}

/// The browser while one test has it.
pub struct Lent(MutexGuard<'static, Option<Browser>>);

impl std::ops::Deref for Lent {
    type Target = Browser;
    fn deref(&self) -> &Browser {
        self.0.as_ref().expect("it was started before it was lent")
    }
}

impl std::ops::DerefMut for Lent {
    fn deref_mut(&mut self) -> &mut Browser {
        self.0.as_mut().expect("it was started before it was lent")
    }
}

impl Drop for Lent {
    // A test that failed half-way may leave any state behind; the next begins with a new process.
    fn drop(&mut self) {
        if std::thread::panicking() {
            *self.0 = None;
        }
    }
}

impl Browser {
    fn start(program: &Path) -> Self {
        let profile = tempfile::Builder::new().prefix("browser-").tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a profile").keep();
        // The protocol's own pipes are 3 and 4: the shell puts our two in their places, and clears up when the browser has ended.
        let wrapped = r#"profile=$1; shift; "$@" 3<&0 4>&1 >/dev/null 2>&1; rm -rf "$profile""#;
        let mut command = Command::new("sh");
        command.args(["-c", wrapped, "sh"]).arg(&profile).arg(program).arg(format!("--user-data-dir={}", profile.display()));
        command.args(["--headless", "--remote-debugging-pipe", "--disable-gpu", "--no-first-run", "--disable-quic", "--hide-scrollbars"]);
        command.args(["--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-extensions"]);
        // The pages are our own, and a container seldom lets a browser make a sandbox.
        command.args(["--no-sandbox", "--disable-dev-shm-usage", "about:blank"]);
        command.env("FONTCONFIG_FILE", folders::project().join("tests/pages/fonts.conf"));
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("a shell starts");
        let (to, from) = (child.stdin.take().expect("a pipe"), child.stdout.take().expect("a pipe"));
        // It ends when its pipes are closed; whoever waits for it clears its entry among the processes.
        std::thread::spawn(move || child.wait());
        let (sender, receiver) = channel();
        std::thread::spawn(move || {
            for message in BufReader::new(from).split(0) {
                let parsed = message.ok().and_then(|bytes| serde_json::from_slice(&bytes).ok());
                if parsed.is_none_or(|value: Value| sender.send(value).is_err()) {
                    return;
                }
            }
        });
        let mut browser = Browser { to, from: receiver, sent: 0, session: String::new(), seen: Vec::new() };
        let target = browser.call("Target.createTarget", &json!({ "url": "about:blank" }));
        let attached = browser.call("Target.attachToTarget", &json!({ "targetId": target["targetId"], "flatten": true }));
        browser.session = attached["sessionId"].as_str().expect("a session").to_string();
        for domain in ["Page", "Runtime", "Log", "Network"] {
            browser.call(&format!("{domain}.enable"), &json!({}));
        }
        browser
    }

    /// Calls one method and gives its result. A refusal or silence fails the test.
    pub fn call(&mut self, method: &str, parameters: &Value) -> Value {
        self.sent += 1;
        let mut message = json!({ "id": self.sent, "method": method, "params": parameters });
        if !self.session.is_empty() {
            message["sessionId"] = self.session.as_str().into();
        }
        let mut bytes = message.to_string().into_bytes();
        bytes.push(0);
        self.to.write_all(&bytes).and_then(|()| self.to.flush()).unwrap_or_else(|error| panic!("{method}: {error}"));
        loop {
            let answer = self.next(method);
            if answer["id"] == self.sent {
                assert!(answer["error"].is_null(), "{method}: {}", answer["error"]);
                return answer["result"].clone();
            }
            self.seen.push(answer);
        }
    }

    fn next(&mut self, waiting_for: &str) -> Value {
        self.from.recv_timeout(PATIENCE).unwrap_or_else(|error| panic!("the browser did not answer {waiting_for}: {error}"))
    }

    fn wait_for(&mut self, event: &str) {
        while !self.seen.iter().any(|message| message["method"] == event) {
            let message = self.next(event);
            self.seen.push(message);
        }
    }

    /// Opens `address` in a window of its own making and waits until it has loaded.
    pub fn open(&mut self, address: &str, screen: Screen) {
        self.show_as(screen);
        self.seen.clear();
        let begun = self.call("Page.navigate", &json!({ "url": address }));
        assert!(begun["errorText"].is_null(), "{address}: {}", begun["errorText"]);
        self.wait_for("Page.loadEventFired");
    }

    /// Gives the open page another window and another preference of colour.
    pub fn show_as(&mut self, screen: Screen) {
        let size = json!({ "width": screen.width, "height": 900, "deviceScaleFactor": 1, "mobile": false });
        self.call("Emulation.setDeviceMetricsOverride", &size);
        let scheme = if screen.dark { "dark" } else { "light" };
        self.media("screen", &[("prefers-color-scheme", scheme)]);
    }

    /// Sets the medium and the reader's preferences.
    pub fn media(&mut self, medium: &str, preferences: &[(&str, &str)]) {
        let features: Vec<Value> = preferences.iter().map(|(name, value)| json!({ "name": name, "value": value })).collect();
        self.call("Emulation.setEmulatedMedia", &json!({ "media": medium, "features": features }));
    }

    /// The value of an expression on the open page; a promise is awaited. What the page's own policy forbids is not
    /// forbidden here.
    pub fn evaluate(&mut self, expression: &str) -> Value {
        let asked = json!({ "expression": expression, "returnByValue": true, "awaitPromise": true });
        let answer = self.call("Runtime.evaluate", &asked);
        assert!(answer["exceptionDetails"].is_null(), "{}", answer["exceptionDetails"]);
        answer["result"]["value"].clone()
    }

    /// The open page as a PDF, on paper of `width` and `height` in millimetres where its own style does not say which.
    pub fn print(&mut self, width: f64, height: f64) -> Vec<u8> {
        // A window and a medium that were put on for the screen would be kept on paper.
        self.call("Emulation.clearDeviceMetricsOverride", &json!({}));
        self.media("", &[]);
        let asked = json!({ "preferCSSPageSize": true, "printBackground": true, "paperWidth": width / 25.4, "paperHeight": height / 25.4 });
        let answer = self.call("Page.printToPDF", &asked);
        base64(answer["data"].as_str().unwrap_or_default())
    }

    /// What the browser had to say since the page was opened: messages on its console, scripts that failed, rules broken.
    pub fn messages(&mut self) -> Vec<String> {
        let told = ["Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded"];
        let heard = self.seen.iter().filter(|message| told.iter().any(|method| message["method"] == *method));
        heard.map(|message| message["params"].to_string()).collect()
    }

    /// Every address asked for since the page was opened, itself left out.
    pub fn requests(&mut self) -> Vec<String> {
        let asked = self.seen.iter().filter(|message| message["method"] == "Network.requestWillBeSent");
        let own = |message: &&Value| {
            message["params"]["type"] != "Document" || message["params"]["request"]["url"] != message["params"]["documentURL"]
        };
        let addresses = asked.filter(own).filter_map(|message| message["params"]["request"]["url"].as_str());
        // Data inside the file is no request, though the browser numbers it as one.
        addresses.filter(|address| !address.starts_with("data:")).map(str::to_string).collect()
    }
}

/// The bytes of base64 text (RFC 4648, section 4).
fn base64(text: &str) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3);
    let (mut held, mut bits) = (0u32, 0);
    for letter in text.bytes() {
        let value = match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => continue,
        };
        held = held << 6 | u32::from(value);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits & 0xff) as u8);
        }
    }
    bytes
}

#[test]
fn base64_is_read_as_the_standard_has_it() {
    // RFC 4648, section 10.
    for (text, bytes) in [("", ""), ("Zg==", "f"), ("Zm8=", "fo"), ("Zm9v", "foo"), ("Zm9vYg==", "foob"), ("Zm9vYmFy", "foobar")] {
        assert_eq!(base64(text), bytes.as_bytes());
    }
}
