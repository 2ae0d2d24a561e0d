-- A personal link now leads to a seat that is on the roster from the beginning.
delete from pass where role = 'guest';
alter table pass drop column guest;
