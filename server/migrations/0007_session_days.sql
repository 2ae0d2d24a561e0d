-- The regular day of the class of its group's series for which a session is held: by it, the class is found.
alter table session add column of_day text;
