//! The way out of a socket, on real connections with small buffers: frames never mix, only the newest counts, no
//! message that must arrive is lost, and a browser that does not read is given up.

use std::sync::Arc;
use std::time::Duration;

use futures_util::StreamExt;
use samebreath::outlet::{Frame, Outlet, Showing, Slot, show_all};
use samebreath_core::live::CommandId;
use samebreath_wire::{Close, ServerMessage};
use socket2::SockRef;
use tokio::io::AsyncReadExt;
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinHandle;
use tokio_tungstenite::WebSocketStream;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::protocol::Role;
use uuid::Uuid;

/// A test that waits this long has hung.
const PATIENCE: Duration = Duration::from_secs(30);
const BUFFER: usize = 4 * 1024;

async fn pair() -> (Arc<Outlet>, TcpStream) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    SockRef::from(&listener).set_recv_buffer_size(BUFFER).unwrap();
    let near = TcpStream::connect(listener.local_addr().unwrap()).await.unwrap();
    SockRef::from(&near).set_send_buffer_size(BUFFER).unwrap();
    let (far, _) = listener.accept().await.unwrap();
    near.writable().await.unwrap();
    (Outlet::new(near), far)
}

fn draining(outlet: &Arc<Outlet>) -> JoinHandle<Option<Close>> {
    let outlet = Arc::clone(outlet);
    tokio::spawn(async move { outlet.drain().await })
}

/// A message of a given length with a number in it.
fn message(number: usize, length: usize) -> ServerMessage {
    let text = "x".repeat(length);
    ServerMessage::Refused { id: CommandId(Uuid::from_u128(number as u128)), code: number.to_string(), text }
}

fn number(text: &str) -> usize {
    let message: serde_json::Value = serde_json::from_str(text).unwrap();
    message["code"].as_str().unwrap().parse().unwrap()
}

/// Reads until the message `last` has come. Returns the numbers of all messages.
async fn read_until(far: TcpStream, last: usize) -> Vec<usize> {
    let mut socket = WebSocketStream::from_raw_socket(far, Role::Client, None).await;
    let mut numbers = Vec::new();
    let reading = async {
        while numbers.last() != Some(&last) {
            let Message::Text(text) = socket.next().await.unwrap().unwrap() else { continue };
            numbers.push(number(&text));
        }
    };
    tokio::time::timeout(PATIENCE, reading).await.unwrap();
    numbers
}

/// Shows stages until the wire takes no more and the newest one waits. Returns that one's number.
fn fill(outlet: &Outlet) -> usize {
    for n in 0..200 {
        outlet.show(&[(Slot::Stage, &Frame::of(&message(n, 4_000)))]);
    }
    199
}

#[tokio::test]
async fn several_who_write_at_once_never_mix_their_frames() {
    let (outlet, far) = pair().await;
    let draining = draining(&outlet);
    let writers: Vec<_> = (0..4)
        .map(|writer| {
            let outlet = Arc::clone(&outlet);
            tokio::task::spawn_blocking(move || {
                for n in 0..50 {
                    outlet.tell(&message(writer * 1_000 + n, 900));
                }
            })
        })
        .collect();
    for writer in writers {
        writer.await.unwrap();
    }
    outlet.tell(&message(99_999, 1));
    let numbers = read_until(far, 99_999).await;
    assert_eq!(numbers.len(), 201, "every message came whole");
    for writer in 0..4 {
        let own: Vec<_> = numbers.iter().filter(|n| *n / 1_000 == writer).collect();
        assert!(own.is_sorted() && own.len() == 50, "each writer's messages came in order");
    }
    draining.abort();
}

#[tokio::test]
async fn who_takes_nothing_gets_the_newest_stage_and_every_answer() {
    let (outlet, far) = pair().await;
    for n in 0..500 {
        outlet.show(&[(Slot::Stage, &Frame::of(&message(n, 4_000)))]);
        if n % 50 == 0 {
            outlet.tell(&message(1_000_000 + n, 100));
        }
    }
    let draining = draining(&outlet);
    let numbers = read_until(far, 499).await;
    assert!(numbers.len() < 100, "old stages were skipped: {} of 500 came", numbers.len());
    let answers: Vec<_> = numbers.iter().filter(|n| **n >= 1_000_000).collect();
    assert_eq!(answers.len(), 10, "no answer was skipped");
    assert!(answers.is_sorted());
    draining.abort();
}

#[tokio::test]
async fn what_is_new_for_a_person_goes_before_the_answer_to_what_they_tapped() {
    let (outlet, far) = pair().await;
    let newest = fill(&outlet);
    outlet.show(&[(Slot::Mine, &Frame::of(&message(50_001, 10)))]);
    outlet.tell(&message(50_002, 10));
    let draining = draining(&outlet);
    let numbers = read_until(far, newest).await;
    let at = |wanted: usize| numbers.iter().position(|n| *n == wanted).unwrap();
    assert_eq!(at(50_002), at(50_001) + 1);
    assert!(at(50_002) < at(newest));
    draining.abort();
}

#[tokio::test]
async fn somebody_stuck_is_ended_at_once_when_they_are_not_in_the_class_any_more() {
    let (outlet, _far) = pair().await;
    fill(&outlet);
    let draining = draining(&outlet);
    tokio::task::yield_now().await;
    outlet.end(Close::NotAllowed);
    assert_eq!(tokio::time::timeout(PATIENCE, draining).await.unwrap().unwrap(), Some(Close::NotAllowed));
}

#[tokio::test]
async fn who_takes_nothing_is_given_up_and_so_is_who_lets_too_much_wait() {
    let (outlet, _far) = pair().await;
    fill(&outlet);
    assert_eq!(tokio::time::timeout(PATIENCE, outlet.drain()).await.unwrap(), Some(Close::TooSlow));
    let (outlet, _other) = pair().await;
    for n in 0..400 {
        outlet.tell(&message(n, 2_000));
    }
    assert_eq!(tokio::time::timeout(PATIENCE, outlet.drain()).await.unwrap(), Some(Close::TooSlow));
}

#[tokio::test]
async fn what_waits_still_goes_out_while_a_socket_ends_and_nothing_new_comes() {
    let (outlet, mut far) = pair().await;
    fill(&outlet);
    outlet.tell(&message(70_000, 10));
    outlet.leave();
    outlet.tell(&message(70_001, 10));
    let flushing = tokio::spawn({
        let outlet = Arc::clone(&outlet);
        async move {
            outlet.flush().await;
            outlet.shut();
        }
    });
    let mut all = Vec::new();
    tokio::time::timeout(PATIENCE, far.read_to_end(&mut all)).await.unwrap().unwrap();
    flushing.await.unwrap();
    let text = String::from_utf8_lossy(&all);
    assert!(text.contains("70000") && text.trim_end().ends_with('}'), "whole frames to the end");
    assert!(!text.contains("70001"));
}

#[tokio::test]
async fn a_connection_that_breaks_ends_the_socket() {
    let (outlet, far) = pair().await;
    fill(&outlet);
    SockRef::from(&far).set_linger(Some(Duration::ZERO)).unwrap();
    drop(far);
    assert_eq!(tokio::time::timeout(PATIENCE, outlet.drain()).await.unwrap(), None);
}

/// With so many screens, threads share them if there are several processors. Each screen gets its own audience's
/// frame and the stage, once and in order.
#[tokio::test]
async fn many_screens_are_each_shown_everything_once() {
    let mut pairs = Vec::new();
    for _ in 0..230 {
        pairs.push(pair().await);
    }
    let stage = Frame::of(&message(7, 100));
    let own: Vec<Frame> = (0..pairs.len()).map(|n| Frame::of(&message(1_000 + n, 50))).collect();
    let showings: Vec<Showing> = pairs
        .iter()
        .zip(&own)
        .map(|((outlet, _), own)| Showing {
            outlet,
            own: Some((Slot::Mine, own)),
            stage: Some((Slot::Stage, &stage)),
        })
        .collect();
    show_all(&showings);
    show_all(&[]);
    for (n, (outlet, far)) in pairs.into_iter().enumerate() {
        outlet.show(&[(Slot::Stage, &Frame::of(&message(8, 10)))]);
        assert_eq!(read_until(far, 8).await, [1_000 + n, 7, 8]);
    }
}
