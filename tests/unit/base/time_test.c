/* RFC 3339 and the calendar. Examples: RFC 3339 section 5.8 [from memory]; their seconds since 1970 by GNU date. */
#include "base/time.h"

#include <stdio.h>
#include <string.h>

#include "unit.h"

TestSuite(base_time, .init = unit_init, .fini = unit_fini);

static const struct {
    const char *text;
    int64_t us;
    int offset;
    const char *canonical;
} read_right[] = {
    {"1985-04-12T23:20:50.52Z", 482196050520000, 0, "1985-04-12T23:20:50.520000Z"},
    {"1996-12-19T16:39:57-08:00", 851042397000000, -480, "1996-12-19T16:39:57-08:00"},
    {"1990-12-31T23:59:60Z", 662688000000000, 0, "1991-01-01T00:00:00Z"},
    {"1990-12-31T15:59:60-08:00", 662688000000000, -480, "1990-12-31T16:00:00-08:00"},
    {"1937-01-01T12:00:27.87+00:20", -1041337172130000, 20, "1937-01-01T12:00:27.870000+00:20"},
    {"2026-11-25t08:30:00z", 1795595400000000, 0, "2026-11-25T08:30:00Z"},
    {"2026-11-25T08:30:00-00:00", 1795595400000000, 0, "2026-11-25T08:30:00Z"},
    {"2024-02-29T00:00:00.1234567+14:00", 1709114400123456, 840, "2024-02-29T00:00:00.123456+14:00"},
    {"9999-12-31T23:59:59Z", 253402300799000000, 0, "9999-12-31T23:59:59Z"},
    {"1900-01-01T00:00:00Z", -2208988800000000, 0, "1900-01-01T00:00:00Z"},
};

Test(base_time, reads_an_instant_with_its_offset_and_writes_it_back)
{
    for (size_t i = 0; i < sizeof read_right / sizeof *read_right; i++) {
        gw_instant got;
        cr_assert(eq(int, gw_instant_parse(read_right[i].text, &got, &err), GW_OK), "%s", read_right[i].text);
        cr_expect(eq(i64, got.us, read_right[i].us), "%s", read_right[i].text);
        cr_expect(eq(int, got.offset_minutes, read_right[i].offset));
        cr_expect(eq(str, got.text, (char *)read_right[i].canonical));
    }
}

Test(base_time, refuses_what_is_no_instant_and_writes_nothing)
{
    static const char *const wrong[] = {"",
                                        "2026-11-25",
                                        "2026-11-25T08:30:00",
                                        "2026-11-25 08:30:00Z",
                                        "2026-11-25T08:30Z",
                                        "2026-11-25T24:00:00Z",
                                        "2026-11-25T08:60:00Z",
                                        "2026-11-25T08:30:61Z",
                                        "2026-11-25T08:30:00.Z",
                                        "2026-11-25T08:30:00+0100",
                                        "2026-11-25T08:30:00+24:00",
                                        "2026-11-25T08:30:00+01:60",
                                        "2026-11-25T08:30:00Z ",
                                        "2026-02-29T08:30:00Z",
                                        "2100-02-29T08:30:00Z",
                                        "2026-00-10T08:30:00Z",
                                        "2026-13-10T08:30:00Z",
                                        "2026-04-31T08:30:00Z",
                                        "1899-12-31T08:30:00Z",
                                        "26-11-25T08:30:00Z",
                                        "2026-11-25T08:30:00\xC2\xB1",
                                        "+2026-11-25T08:30:00Z"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        gw_instant got = {.us = 7};
        err_reset();
        cr_expect(eq(int, gw_instant_parse(wrong[i], &got, &err), GW_EINPUT), "%s", wrong[i]);
        cr_expect(eq(i64, got.us, 7));
        cr_expect(strstr(err.message, "expected a time like") != NULL);
    }
}

static int days_of(int year, int month)
{
    if (month == 2) return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0 ? 29 : 28;
    return month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
}

Test(base_time, every_day_of_the_range_follows_the_one_before)
{
    int32_t expected = gw_days_from_civil(1900, 1, 1);
    cr_assert(eq(int, expected, -25567)); /* GNU date: -2208988800 s */
    for (int year = 1900; year <= 9999; year++) {
        for (int month = 1; month <= 12; month++) {
            for (int day = 1; day <= days_of(year, month); day++, expected++) {
                char text[16];
                snprintf(text, sizeof text, "%04d-%02d-%02d", year % 10000, month, day % 100);
                gw_date made = gw_date_make(expected), read;
                if (strcmp(made.text, text) == 0 && gw_date_parse(text, &read, &err) == GW_OK && read.days == expected)
                    continue;
                cr_assert(false, "%s is not day %d", text, expected);
            }
        }
    }
}

Test(base_time, refuses_what_is_no_date)
{
    static const char *const wrong[] = {"2026-02-29", "2026-2-09",  "2026-11-25T",
                                        "20261125",   "2026-11-00", "yesterday"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        gw_date got;
        err_reset();
        cr_expect(eq(int, gw_date_parse(wrong[i], &got, &err), GW_EINPUT), "%s", wrong[i]);
    }
}

Test(base_time, an_instant_in_days_keeps_the_fraction)
{
    gw_instant noon = gw_instant_make(86400000000LL * 2 + 43200000000LL, 60);
    cr_expect(epsilon_eq(dbl, gw_instant_days(&noon), 2.5, 1e-12));
    cr_expect(eq(str, noon.text, "1970-01-03T13:00:00+01:00"));
}
