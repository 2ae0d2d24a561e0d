//! The demo shows a small organisation with a past.

use samebreath::demo;
use samebreath_core::live::Session;
use samebreath_core::people::person::Person;
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::Group;

use crate::common::TestServer;

#[tokio::test]
async fn two_groups_have_six_weeks_behind_them_and_it_is_done_once() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let store = &server.app.store;
    demo::furnish(&server.app).await.unwrap();
    let groups = store.documents::<Group>().await.unwrap();
    assert_eq!(groups.len(), 2);
    let mut came = 0;
    for group in &groups {
        let sessions = store.sessions_of(samebreath_core::plan::group::GroupId(group.id)).await.unwrap();
        assert_eq!(sessions.len(), 5, "six weeks, of which one was cancelled");
        for entry in sessions {
            assert!(entry.ended_at.is_some() && entry.of.is_some(), "{entry:?}");
            let ledger = store.read_after(entry.id, 0).await.unwrap();
            let session = Session::replay(&ledger).unwrap();
            assert!(session.has_ended());
            came += session.seats().values().filter(|seat| seat.check_in.is_some()).count();
        }
    }
    // Two groups of eight and five, of whom one is away each time.
    assert_eq!(came, 5 * 7 + 5 * 4);
    let people = store.documents::<Person>().await.unwrap().len();
    let plans = store.documents::<Planned>().await.unwrap().len();
    assert_eq!((people, plans), (13, 11));
    let planner = server.planner().await;
    let today = server.get("/api/planner/today", &planner).await.json();
    assert!(today["class"]["coming"]["name"].as_str().unwrap().starts_with("Lantern Quay"), "{today}");
    assert!(today["left"].to_string().contains("Call Maelys"), "{today}");
    demo::furnish(&server.app).await.unwrap();
    assert_eq!(store.documents::<Group>().await.unwrap().len(), 2);
}
