//! What each audience sees.

pub(super) mod care;
pub(super) mod class;
pub(super) mod class_frames;
pub(super) mod desk;
pub(super) mod desk_frames;
pub(super) mod roster;
