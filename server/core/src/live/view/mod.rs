//! What each audience sees: the class and one person, and the desks.

pub(super) mod class;
pub(super) mod class_frames;
pub(super) mod content;
pub(super) mod desk;
pub(super) mod desk_frames;
pub(super) mod form;
pub(super) mod roster;
