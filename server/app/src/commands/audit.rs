//! `audit`: checks the signed notes and who did what, and prints the latter, beside a running server or without one.

use std::path::Path;

use anyhow::bail;
use jiff::Timestamp;
use samebreath_store::accounts::Accounts;
use samebreath_store::audit::{Audit, Verdict};
use samebreath_store::notes::{Notes, NotesVerdict};
use samebreath_store::{Sqlite, Upkeep};

use crate::commands::print::print;
use crate::settings::AuditCommand;

/// Does what the command asks for.
pub(super) fn run(data: &Path, command: AuditCommand) -> anyhow::Result<()> {
    let work = async {
        let store = Sqlite::beside(data).await?;
        let done = match command {
            AuditCommand::Verify => verify(&store).await,
            AuditCommand::List => list(&store).await,
        };
        store.close().await;
        done
    };
    tokio::runtime::Runtime::new()?.block_on(work)
}

async fn verify(store: &Sqlite) -> anyhow::Result<()> {
    match store.verify_audit().await? {
        Verdict::Whole { rows: 0, .. } => print("the audit is empty")?,
        Verdict::Whole { rows, emptied, last } => {
            let emptied = match emptied {
                0 => String::new(),
                some => format!("; the {some} oldest were emptied because their time was over"),
            };
            print(&format!("{rows} acts, none changed or left out; the last is {last}{emptied}"))?;
        }
        Verdict::Broken { seq } => {
            bail!("row {seq} of the audit was changed, or the one before it was left out")
        }
    }
    match store.verify_notes().await? {
        NotesVerdict::Whole { notes: 0, .. } => print("no note is signed"),
        NotesVerdict::Whole { notes, emptied, last } => {
            let emptied = match emptied {
                0 => String::new(),
                some => format!("; {some} were emptied because their person was erased"),
            };
            print(&format!("{notes} signed notes, none changed or left out; the last is {last}{emptied}"))
        }
        NotesVerdict::Broken { seq } => {
            bail!("signed note {seq} was changed, or the one before it was left out")
        }
    }
}

async fn list(store: &Sqlite) -> anyhow::Result<()> {
    let accounts = store.accounts().await?;
    for (seq, entry) in store.audit_after(0).await?.into_iter().filter(|(_, entry)| !entry.act.is_empty()) {
        let name = entry.actor.map(|id| {
            let known = accounts.iter().find(|kept| kept.id == id);
            known.map_or_else(|| id.0.to_string(), |kept| kept.account.sign_in.to_string())
        });
        let at = Timestamp::from_millisecond(entry.at.0).map(|at| at.to_string()).unwrap_or_default();
        let subject = entry.subject.map(|id| id.to_string()).unwrap_or_else(|| "-".to_owned());
        let (act, outcome, address) = (entry.act, entry.outcome, entry.address);
        print(&format!(
            "{seq}\t{at}\t{}\t{act}\t{subject}\t{outcome}\t{address}",
            name.as_deref().unwrap_or("-")
        ))?;
    }
    Ok(())
}
