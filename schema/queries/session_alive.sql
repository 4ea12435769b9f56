-- session_alive: nothing but the session_enter that goes before it.
-- out  one row
--      raises GW401 without a living session, GW403 when the role is too low
select true;
