-- backdate.sql: the load tells thirty weeks within a minute. Put the times at which the server heard of things back to
-- when they happened, or every check of the demo would count as sent late. What was recorded, judged and decided stays.
-- Run once after the load, by the superuser of the demo's private cluster.
update gw.check set received_at = at + interval '2 minutes';
update gw.arrival set recorded_at = at + interval '2 minutes';
update gw.scale_test set recorded_at = at + interval '2 minutes';
update gw.step set recorded_at = at;
update gw.alert_evidence set recorded_at = at + interval '2 minutes';
update gw.alert set recorded_at = opened_at + interval '2 minutes';

-- The server's clock looked at animals that were in the middle of their story; it looks again when the server starts.
delete from gw.alert where kind = 'missed';

-- Settings of the network, for which there is no screen yet. Numbers reserved for fiction (Ofcom's range 01632 960xxx).
update gw.network set name = 'Fennmarsh small animal network (demo)', phones = '[
  {"name": "Casimir Thorne, night coordinator", "number": "01632 960 147", "when": "22:00 to 07:00"},
  {"name": "Ottoline Fenn, coordinator", "number": "01632 960 112", "when": "07:00 to 22:00"},
  {"name": "Mill Lane practice, emergencies", "number": "01632 960 190", "when": "always"}]';
