//! The outbox: letters are made when they are sent, and tried again when that fails.

use std::sync::Arc;
use std::time::Duration;

use jiff::Timestamp;
use samebreath_core::letter::{self, Purpose, Words};
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::Group;
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::Versioned;
use samebreath_core::week::zone::Zone;
use samebreath_store::StoreError;
use samebreath_store::outbox::{Letter, Sending};
use samebreath_store::own_links::LinkOwner;
use uuid::Uuid;

use crate::access::token;
use crate::app::App;
use crate::host::mail::{Mailer, NotSent};
use crate::session::retention;

/// How often the outbox is looked at when nothing was posted.
const LOOK_EVERY: Duration = Duration::from_secs(5);
/// After how many seconds a letter is tried again: at first soon, since some servers take a letter only the second time,
/// then ever more seldom.
const AGAIN_S: [i64; 8] = [5, 60, 300, 900, 3_600, 10_800, 21_600, 43_200];

/// Posts a letter. False when there is one of the same person, purpose and day.
///
/// # Errors
/// When the store cannot keep it.
pub async fn post(app: &App, person: PersonId, purpose: Purpose) -> Result<bool, StoreError> {
    let now = app.clock.now();
    let Some(day) = retention::today(now) else { return Ok(false) };
    let letter = Letter {
        id: Uuid::now_v7(),
        person,
        purpose,
        day,
        created_at: now,
        tries: 0,
        next_at: now,
        state: Sending::Waits,
        error: None,
    };
    let is_new = app.store.post(&letter).await?;
    if let Some(mail) = &app.mail {
        mail.wake.notify_one();
    }
    Ok(is_new)
}

/// Sends what is due, until the server stops.
pub(crate) async fn keep(app: Arc<App>) {
    let Some(mail) = app.mail.clone() else { return };
    loop {
        if let Err(error) = send_due(&app, &mail).await {
            tracing::warn!(error = &error as &dyn std::error::Error, "the outbox could not be looked at");
        }
        tokio::select! {
            () = app.shutdown.cancelled() => return,
            () = mail.wake.notified() => {}
            () = tokio::time::sleep(LOOK_EVERY) => {}
        }
    }
}

async fn send_due(app: &App, mail: &Mailer) -> Result<(), StoreError> {
    for mut letter in app.store.due_letters(app.clock.now()).await? {
        // What is wrong with one letter keeps no other from being sent.
        let outcome =
            send(app, mail, &letter).await.unwrap_or_else(|error| Err(NotSent::Later(error.to_string())));
        let now = app.clock.now();
        letter.tries += 1;
        (letter.state, letter.error) = match outcome {
            Ok(()) => (Sending::Sent(now), None),
            Err(NotSent::Never(why)) => (Sending::Failed, Some(why)),
            Err(NotSent::Later(why)) => match again(&letter, now) {
                Some(at) => {
                    letter.next_at = at;
                    (Sending::Waits, Some(why))
                }
                None => (Sending::Failed, Some(why)),
            },
        };
        app.store.note_letter(&letter).await?;
        if letter.error.is_some() {
            // The server's words may have the address in them, which belongs in no log.
            tracing::warn!(letter.id = %letter.id, tries = letter.tries, "a letter was not sent");
        }
    }
    Ok(())
}

/// When a letter is tried again; `None` when that was often enough.
fn again(letter: &Letter, now: EpochMs) -> Option<EpochMs> {
    let after_s = AGAIN_S.get(usize::try_from(letter.tries).ok()?.checked_sub(1)?)?;
    Some(now.plus(after_s * 1_000))
}

async fn send(app: &App, mail: &Mailer, letter: &Letter) -> Result<Result<(), NotSent>, StoreError> {
    let never = |why: &str| Ok(Err(NotSent::Never(why.to_owned())));
    let Some(kept) = app.store.document::<Person>(letter.person.0).await? else {
        return never("this person is not here any more");
    };
    let Versioned { content: person, .. } = kept;
    let Some(address) = person.contacts.mail.clone() else {
        return never("this person has no mail address");
    };
    let words = match letter.purpose {
        Purpose::Link { link } => match link_words(app, mail, letter.person, &person, link).await? {
            // An earlier try arrived after all.
            LinkLetter::Used if letter.tries > 0 => return Ok(Ok(())),
            LinkLetter::Used => return never("the link was used already; make a new one"),
            LinkLetter::Ended => None,
            LinkLetter::Words(words) => Some(words),
        },
        Purpose::Cancelled { group, of } => {
            let group: Option<Versioned<Group>> = app.store.document(group.0).await?;
            let group = group.filter(|group| group.content.people.contains(&letter.person));
            group.and_then(|group| {
                let class = group.content.series()?.on(of)?;
                // Nobody is told afterwards.
                if class.starts < app.clock.now() {
                    return None;
                }
                let time = clock_at(class.starts, group.content.zone.as_ref()?)?;
                let when = (class.day, time.as_str());
                Some(letter::cancelled(
                    &person.name,
                    person.language.as_ref(),
                    when,
                    class.cancelled.as_ref()?,
                ))
            })
        }
    };
    match words {
        Some(words) => {
            Ok(mail.send((letter.id, letter.tries), (&person.name, address.as_str()), &words).await)
        }
        None => never("what it was about is no longer so"),
    }
}

/// What the clocks of a zone show at an instant, as 10:00.
fn clock_at(at: EpochMs, zone: &Zone) -> Option<String> {
    let at = Timestamp::from_millisecond(at.0).ok()?.to_zoned_datetime(zone.rules().clone());
    Some(at.strftime("%H:%M").to_string())
}

/// What becomes of a letter with a link.
enum LinkLetter {
    /// It is sent.
    Words(Words),
    /// The link was used already, and would stop working where it is.
    Used,
    /// There is no such link any more.
    Ended,
}

/// The letter with a link, which gets its token now: none is kept anywhere.
async fn link_words(
    app: &App,
    mail: &Mailer,
    owner: PersonId,
    person: &Person,
    link: LinkId,
) -> Result<LinkLetter, StoreError> {
    let links = app.store.own_links_of(LinkOwner::Person(owner)).await?;
    let Some(kept) = links.into_iter().find(|kept| kept.id == link) else { return Ok(LinkLetter::Ended) };
    let token = token::new_token();
    // If it ends or is used while this goes on, it gets no new token.
    if kept.used_at.is_some() || !app.store.renew_own_link(&token::hash(&token), link).await? {
        return Ok(LinkLetter::Used);
    }
    let address = mail.address(&format!("/own#{token}"));
    Ok(LinkLetter::Words(letter::link(&person.name, person.language.as_ref(), &address)))
}
