//! Answers browsers of this machine: pages from the board, and a stream of news. No request reaches a file.
//!
//! Everything is bounded: how many connections there are, how large a request may be and how long it may take to come,
//! and how long a reader may take over an answer.

use crate::faces::Trouble;
use crate::faces::disk::reason;
use crate::faces::watch::answer::{Refusal, news, page, plain, refusal, renewal, state, turned_to};
use crate::faces::watch::board::Board;
use crate::faces::watch::link::{Wanted, is_own_host, is_own_origin, wanted};
use hyper::body::{Body, Bytes, Frame, Incoming};
use hyper::header::{ACCEPT, HOST, ORIGIN};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use std::convert::Infallible;
use std::future::{Future, poll_fn};
use std::net::{Ipv4Addr, TcpListener};
use std::pin::{Pin, pin};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::sync::{Notify, Semaphore, mpsc};
use tokio::time::{sleep, timeout};

/// Connections at one time; more are turned away.
const CONNECTIONS: usize = 256;
/// Bytes of a request's head.
const HEAD: usize = 16 * 1024;
/// Header lines of a request.
const LINES: usize = 64;
/// How long a request's head may take to come.
const HEAD_TIME: Duration = Duration::from_secs(5);
/// How long a request and its answer may take in all, news apart.
const ANSWER_TIME: Duration = Duration::from_secs(20);
/// How often a stream without news gives a sign of life, so that a reader who has left is noticed.
const SIGN_OF_LIFE: Duration = Duration::from_secs(5);

/// Takes `port` of the loopback, or any free one.
pub(super) fn bind(port: Option<u16>) -> Result<(TcpListener, u16), Trouble> {
    let wanted = port.unwrap_or(0);
    let failed = |error: std::io::Error| {
        Trouble::new(format!("cannot listen on port {wanted} of this machine: {}", reason(&error)))
            .with_help("leave out --port, and a free one is chosen")
    };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, wanted)).map_err(failed)?;
    listener.set_nonblocking(true).map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    Ok((listener, port))
}

/// Answers on `listener` until the process ends; returns only when it cannot.
pub(super) fn serve(listener: TcpListener, board: Arc<Board>) -> std::io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(async move {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        let room = Arc::new(Semaphore::new(CONNECTIONS));
        loop {
            let Ok((stream, _)) = listener.accept().await else {
                // Out of handles, most likely; some will be given back.
                sleep(Duration::from_millis(50)).await;
                continue;
            };
            let Ok(place) = Arc::clone(&room).try_acquire_owned() else {
                let _ = stream.try_write(b"HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nContent-Length: 0\r\n\r\n");
                continue;
            };
            let board = Arc::clone(&board);
            tokio::spawn(async move {
                attend(stream, board).await;
                drop(place);
            });
        }
    })
}

/// What the answering of a request and the keeping of its connection know of each other.
#[derive(Debug, Default)]
struct Line {
    is_stream: AtomicBool,
    hang_up: Notify,
}

async fn attend(stream: TcpStream, board: Arc<Board>) {
    // Without this a page could wait for the acknowledgement of its own head.
    let _ = stream.set_nodelay(true);
    let line = Arc::new(Line::default());
    let service = service_fn(|request| {
        let (board, line) = (Arc::clone(&board), Arc::clone(&line));
        async move { Ok::<_, Infallible>(respond(&request, &board, &line).await) }
    });
    let mut server = http1::Builder::new();
    server.timer(TokioTimer::new()).header_read_timeout(HEAD_TIME).max_buf_size(HEAD).max_headers(LINES).keep_alive(false);
    let mut connection = pin!(server.serve_connection(TokioIo::new(stream), service));
    let mut limit = pin!(async {
        sleep(ANSWER_TIME).await;
        if line.is_stream.load(Ordering::Relaxed) {
            line.hang_up.notified().await;
        }
    });
    // What went wrong on the way is the reader's affair: there is nobody left to tell.
    poll_fn(|context| {
        let ended = connection.as_mut().poll(context).is_ready() || limit.as_mut().poll(context).is_ready();
        if ended { Poll::Ready(()) } else { Poll::Pending }
    })
    .await;
}

/// The bytes of an answer, whole or as they come.
pub(super) enum Sent {
    /// All of it.
    Whole(Option<Bytes>),
    /// What is put into the channel, until its other end is dropped.
    Stream(mpsc::Receiver<Bytes>),
}

impl Body for Sent {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        match self.get_mut() {
            Sent::Whole(bytes) => Poll::Ready(bytes.take().map(|bytes| Ok(Frame::data(bytes)))),
            Sent::Stream(stream) => stream.poll_recv(context).map(|bytes| bytes.map(|bytes| Ok(Frame::data(bytes)))),
        }
    }

    fn size_hint(&self) -> hyper::body::SizeHint {
        match self {
            Sent::Whole(bytes) => hyper::body::SizeHint::with_exact(bytes.as_ref().map_or(0, |bytes| bytes.len() as u64)),
            Sent::Stream(_) => hyper::body::SizeHint::default(),
        }
    }
}

async fn respond(request: &Request<Incoming>, board: &Arc<Board>, line: &Arc<Line>) -> Response<Sent> {
    let host = match admitted(request, board.port) {
        Ok(host) => host.to_string(),
        Err(refused) => return refusal(refused),
    };
    match wanted(request.uri().path(), &board.token) {
        None => refusal(Refusal::Unknown),
        Some(Wanted::Home) => turned_to(board),
        Some(Wanted::State) => state(board),
        Some(Wanted::Page(name)) => {
            await_page(board, &name).await;
            let renewed = takes_changes(request).then(|| renewal(board, &name, held(request))).flatten();
            renewed.unwrap_or_else(|| page(board, &name, &host))
        }
        Some(Wanted::News(name)) => {
            if *request.method() == Method::HEAD {
                return plain(StatusCode::METHOD_NOT_ALLOWED, "a stream has no head alone\n");
            }
            line.is_stream.store(true, Ordering::Relaxed);
            let (sender, receiver) = mpsc::channel(1);
            tokio::spawn(tell(Arc::clone(board), name, held(request), sender, Arc::clone(line)));
            news(Sent::Stream(receiver))
        }
    }
}

// The host that was asked for, when the request may be answered at all.
fn admitted(request: &Request<Incoming>, port: u16) -> Result<&str, Refusal> {
    let header = |name: &str| request.headers().get(name).map(|value| value.to_str().unwrap_or("?"));
    let mut hosts = request.headers().get_all(HOST).iter();
    let host = hosts.next().and_then(|host| host.to_str().ok()).filter(|_| hosts.next().is_none()).unwrap_or("");
    // A request as a proxy would get it names its host in the first line too.
    let named = request.uri().authority().is_none_or(|authority| is_own_host(authority.as_str(), port));
    if !is_own_host(host, port) || !named {
        return Err(Refusal::Host);
    }
    if request.headers().get_all(ORIGIN).iter().any(|origin| !origin.to_str().is_ok_and(|origin| is_own_origin(origin, port))) {
        return Err(Refusal::Origin);
    }
    // A link on a page elsewhere may be followed to here; nothing else of that page may reach us.
    let followed = header("sec-fetch-mode") == Some("navigate");
    if matches!(header("sec-fetch-site"), Some(site) if !matches!(site, "same-origin" | "none") && !followed) {
        return Err(Refusal::Origin);
    }
    if !matches!(*request.method(), Method::GET | Method::HEAD) {
        return Err(Refusal::Method);
    }
    if request.body().size_hint().exact() != Some(0) {
        return Err(Refusal::Body);
    }
    Ok(host)
}

// The generation of the page that the reader has: what its address says, or what it was last told on a stream that broke.
fn held(request: &Request<Incoming>) -> u64 {
    let asked = request.uri().query().and_then(|query| query.strip_prefix("held=")).and_then(|held| held.parse().ok());
    let told = request.headers().get("last-event-id").and_then(|id| id.to_str().ok()).and_then(|id| id.parse().ok());
    asked.max(told).unwrap_or(0)
}

// Whether it is made by the script of a page, which can put changes in place.
fn takes_changes(request: &Request<Incoming>) -> bool {
    request.headers().get(ACCEPT).is_some_and(|kinds| kinds.as_bytes().starts_with(b"application/json"))
}

// A page that is being made is worth waiting for.
async fn await_page(board: &Board, name: &str) {
    let mut heard = board.hear();
    let _ = timeout(ANSWER_TIME / 2, async {
        while board.page(name).is_none() && board.is_coming(name) {
            if heard.changed().await.is_err() {
                break;
            }
        }
    })
    .await;
}

// Sends the generation of a page whenever the page has become another than the reader holds. Nothing is queued: a slow
// reader gets the newest number alone, and one who takes nothing at all is dropped.
async fn tell(board: Arc<Board>, name: String, mut held: u64, stream: mpsc::Sender<Bytes>, line: Arc<Line>) {
    let mut open = board.open(&name);
    let mut words = String::from(": parbuckle\nretry: 1000\n\n");
    loop {
        open.heard.borrow_and_update();
        if let Some(page) = board.page(&name).filter(|page| page.changed > held) {
            held = page.changed;
            words += &format!("id: {held}\ndata: {{\"generation\":{held}}}\n\n");
        }
        if words.is_empty() {
            match timeout(SIGN_OF_LIFE, open.heard.changed()).await {
                Ok(Ok(())) => continue,
                Ok(Err(_)) => return,
                Err(_) => words.push_str(":\n\n"),
            }
        }
        match timeout(ANSWER_TIME, stream.send(Bytes::from(std::mem::take(&mut words)))).await {
            Ok(Ok(())) => {}
            Ok(Err(_)) => return,
            Err(_) => {
                line.hang_up.notify_one();
                return;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ANSWER_TIME, SIGN_OF_LIFE, attend};
    use crate::faces::watch::board::{Board, Shown};
    use crate::faces::watch::link::Token;
    use std::collections::BTreeSet;
    use std::io::{Read, Write};
    use std::net::TcpStream;
    use std::sync::Arc;
    use std::time::Duration;
    use tokio::net::TcpListener;
    use tokio::task::{JoinHandle, spawn_blocking};
    use tokio::time::{sleep, timeout};

    struct Place {
        listener: TcpListener,
        board: Arc<Board>,
    }

    impl Place {
        // A page longer than what the system keeps for a reader who takes nothing.
        async fn new() -> Place {
            let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port");
            let port = listener.local_addr().expect("bound").port();
            let board = Arc::new(Board::new(Token::new().expect("entropy"), port, String::new()));
            let long = Shown { html: "a page ".repeat(8 << 20).into(), banner: "".into() };
            board.publish(vec![("slip.html".into(), Some(long))], BTreeSet::new());
            Place { listener, board }
        }

        // Somebody who asks for `what`, and how the answering ends.
        async fn asking(&self, what: &str) -> (TcpStream, JoinHandle<()>) {
            let (port, token) = (self.board.port, self.board.token.text().to_string());
            let request = format!("GET /{token}/{what} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n");
            let asked = spawn_blocking(move || {
                let mut reader = TcpStream::connect(("127.0.0.1", port)).expect("it listens");
                reader.write_all(request.as_bytes()).expect("the request is taken");
                reader
            });
            let (stream, _) = self.listener.accept().await.expect("a reader");
            let answered = tokio::spawn(attend(stream, Arc::clone(&self.board)));
            (asked.await.expect("asked"), answered)
        }
    }

    // Time passes at once when nobody has anything to do, and not at all while somebody reads.
    fn without_waiting(task: impl Future<Output = ()>) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().start_paused(true).build();
        runtime.expect("a runtime").block_on(task);
    }

    async fn read(mut reader: TcpStream) -> usize {
        let all = move || {
            let mut bytes = Vec::new();
            let _ = reader.read_to_end(&mut bytes);
            bytes.len()
        };
        spawn_blocking(all).await.expect("read")
    }

    #[test]
    fn a_reader_who_takes_nothing_of_a_page_is_dropped_while_others_are_answered() {
        without_waiting(async {
            let place = Place::new().await;
            let (slow, dropped) = place.asking("sheets/slip.html").await;
            let (quick, answered) = place.asking("sheets/slip.html").await;
            let whole = read(quick).await;
            assert!(whole > 7 * (8 << 20), "{whole}");
            answered.await.expect("it ends");
            timeout(2 * ANSWER_TIME, dropped).await.expect("it is dropped").expect("it ends");
            let part = read(slow).await;
            assert!(part < whole, "{part} of {whole}");
        });
    }

    #[test]
    fn a_reader_who_takes_no_news_is_dropped_and_one_who_does_is_not() {
        without_waiting(async {
            let place = Place::new().await;
            let (deaf, dropped) = place.asking("news/slip.html?held=0").await;
            let (mut reader, mut answered) = place.asking("news/slip.html?held=0").await;
            for _ in 0..100 {
                reader = spawn_blocking(move || {
                    assert!(reader.read(&mut [0; 4096]).is_ok_and(|read| read > 0), "the stream ended");
                    reader
                })
                .await
                .expect("read");
                assert!(timeout(SIGN_OF_LIFE, &mut answered).await.is_err(), "one who listens was dropped");
            }
            drop(reader);
            // A few bytes every few seconds fill what the system keeps, in the end.
            timeout(Duration::from_secs(365 * 86_400), dropped).await.expect("it is dropped").expect("it ends");
            drop(deaf);
            sleep(ANSWER_TIME).await;
        });
    }
}
