-- The day of the group's series on which a session is held, so that a class is found by its day.
alter table session add column day text;
