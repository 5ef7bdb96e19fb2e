//! `watch` as a real process, and what a browser would ask it, over plain connections.

use crate::support::program::program;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, ChildStderr, Stdio};
use std::time::{Duration, Instant};

/// Longer than anything here takes on the slowest machine; only what is broken waits so long.
pub const PATIENCE: Duration = Duration::from_secs(120);

/// The program watching, until it is dropped.
pub struct Watch {
    child: Child,
    said: Option<BufReader<ChildStderr>>,
    pub port: u16,
    pub token: String,
}

impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What came back for a request; the names in its head are in lower case.
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl Watch {
    /// Starts it and waits for its address.
    pub fn start(folder: &Path, arguments: &[&str]) -> Watch {
        Watch::begin(folder, arguments, Stdio::null())
    }

    /// The same, where what it says is read as well.
    pub fn heard(folder: &Path, arguments: &[&str]) -> Watch {
        Watch::begin(folder, arguments, Stdio::piped())
    }

    fn begin(folder: &Path, arguments: &[&str], told: Stdio) -> Watch {
        let mut child = program(folder).arg("watch").args(arguments).stderr(told).spawn().expect("the program starts");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("a pipe was asked for")).read_line(&mut line).expect("an address is printed");
        let rest = line.trim().strip_prefix("http://127.0.0.1:").unwrap_or_else(|| panic!("no address: {line}"));
        let (port, token) = rest.trim_end_matches('/').split_once('/').expect("a token");
        let said = child.stderr.take().map(BufReader::new);
        Watch { port: port.parse().expect("a port"), token: token.to_string(), said, child }
    }

    /// The next line that it says.
    pub fn line(&mut self) -> String {
        let mut line = String::new();
        let read = self.said.as_mut().expect("it was started to be heard").read_line(&mut line).expect("text");
        assert!(read > 0, "it has ended");
        line.trim_end().to_string()
    }

    /// A connection, and nothing said on it yet.
    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.set_read_timeout(Some(PATIENCE)).expect("a time limit");
        stream
    }

    /// Sends `request` as it is and reads the answer to its end.
    pub fn raw(&self, request: &[u8]) -> Answer {
        let mut stream = self.connect();
        // It may be refused before it is read to its end.
        let _ = stream.write_all(request);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes);
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        Answer { status, head: head.to_ascii_lowercase(), body: body.to_string() }
    }

    /// What stands at `path` below the secret part of the address.
    pub fn ask(&self, path: &str, headers: &str) -> Answer {
        self.raw(format!("GET /{}/{path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n{headers}\r\n", self.token, self.port).as_bytes())
    }

    /// The stream of news of `page`, for a reader who has generation `held`.
    pub fn news(&self, page: &str, held: u64) -> BufReader<TcpStream> {
        let mut stream = self.connect();
        let request = format!("GET /{}/news/{page}?held={held} HTTP/1.1\r\nHost: localhost:{}\r\n\r\n", self.token, self.port);
        stream.write_all(request.as_bytes()).expect("the request is taken");
        BufReader::new(stream)
    }

    /// The page once it is as it should be; between two looks, news of it are waited for.
    pub fn until(&self, page: &str, fits: impl Fn(&Answer) -> bool) -> Answer {
        let began = Instant::now();
        loop {
            let answer = self.ask(&format!("sheets/{page}"), "");
            assert!(began.elapsed() < PATIENCE, "{page} is not as it should be: {}", answer.body);
            if fits(&answer) {
                return answer;
            }
            let mut news = self.news(page, generation(&answer));
            next_generation(&mut news);
        }
    }

    /// What another program is told of all pages.
    pub fn state(&self) -> String {
        self.ask("state", "").body
    }
}

/// The generation of a page.
pub fn generation(answer: &Answer) -> u64 {
    let line = answer.head.lines().find_map(|line| line.strip_prefix("parbuckle-generation: "));
    line.and_then(|number| number.parse().ok()).unwrap_or_else(|| panic!("no generation: {}", answer.head))
}

/// The next generation that is told.
pub fn next_generation(news: &mut BufReader<TcpStream>) -> u64 {
    let began = Instant::now();
    while began.elapsed() < PATIENCE {
        let mut line = String::new();
        let read = news.read_line(&mut line).expect("news in time");
        assert!(read > 0, "the stream ended");
        if let Some(number) = line.trim().strip_prefix("data: {\"generation\":").and_then(|rest| rest.strip_suffix('}')) {
            return number.parse().expect("a number");
        }
    }
    panic!("no news");
}
