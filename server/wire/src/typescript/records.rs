//! The types of what is left of a class.

use samebreath_core::live;
use samebreath_core::plan::timeline;
use samebreath_core::practice;
use samebreath_core::record::progress::{self, statistics};
use samebreath_core::record::{attendance_table, class, concerns, did, holds, incidents, note, sums, usual};
use ts_rs::Config;

use crate::typescript::declaration;
use crate::{AfterClass, NextPlan, notes, sheets};

/// What is left of a class.
pub(super) fn after(config: &Config) -> String {
    declare![
        config,
        AfterClass,
        NextPlan,
        class::ClassRecord,
        class::PersonRecord,
        class::Attended,
        class::Asked,
        class::EffortSaid,
        class::Stopped,
        class::StepRecord,
        class::ReportRecord,
        timeline::Figures,
        holds::Held,
        live::Attendance,
        attendance_table::AttendanceTable,
        attendance_table::ClassColumn,
        attendance_table::PersonLine,
        attendance_table::AttendanceCell,
        attendance_table::Came,
        concerns::Concern,
        concerns::About,
        incidents::Incident,
        incidents::IncidentKind,
    ]
}

/// Notes after a class.
pub(super) fn notes(config: &Config) -> String {
    declare![
        config,
        note::NotePart,
        note::Fact,
        note::NoteWords,
        note::NoteAbout,
        note::Signer,
        note::NoteContent,
        note::SignedNote,
        notes::ClassNotes,
        notes::PersonNotes,
        notes::NoteSheet,
        notes::ShownNote,
        notes::SaveNote,
        notes::SavedNote,
        notes::SignNote,
        notes::AddToNote,
        notes::PersonOverTime,
        sheets::ClassSheets,
        sheets::PersonSheet,
        sheets::OwnSheets,
        sheets::OwnSheet,
        sheets::OwnHomeClass,
        sheets::HomeClassAsk,
        sheets::HomeClassLook,
        sheets::HomeClassFor,
        sheets::PublishHomeClass,
        sheets::HomeClassCard,
        live::HomeRun,
        sheets::HomeDone,
        live::HomeLog,
        live::AskedAtHome,
        live::Ease,
        live::NotedBy,
        practice::AtHome,
        practice::DrillAtHome,
        practice::ClassAtHome,
        practice::HomeClassSheet,
        practice::HomeClassStep,
        practice::HomeSheet,
        practice::HomeDrillSheet,
        practice::HowLine,
        usual::UsualTimes,
        usual::UsualTime,
        did::DrillClass,
        did::NotchProposal,
        did::NotchReason,
        progress::Progress,
        progress::ClassDay,
        progress::StopThen,
        progress::ReportThen,
        progress::Measure,
        progress::DrillDays,
        progress::DrillDay,
        progress::Best,
        statistics::Middle,
        statistics::Slope,
        crate::sums::PeriodSums,
        sums::Sums,
        sums::SumsLine,
    ]
}
