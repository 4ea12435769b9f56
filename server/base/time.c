#include "base/time.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static const char instant_form[] = "expected a time like 2026-11-25T08:30:00+01:00";
static const char date_form[] = "expected a date like 2026-11-25";

/* Days from civil and back: the era arithmetic of H. Hinnant, "chrono-compatible low-level date algorithms"
 * [from memory], with the year starting in March so that the leap day comes last. */
int32_t gw_days_from_civil(int year, int month, int day)
{
    if (month <= 2) year--;
    int era = (year >= 0 ? year : year - 399) / 400;
    int year_of_era = year - era * 400;
    int day_of_year = (153 * (month > 2 ? month - 3 : month + 9) + 2) / 5 + day - 1;
    int day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * 146097 + day_of_era - 719468;
}

static void civil_from_days(int32_t days, int *year, int *month, int *day)
{
    int32_t z = days + 719468;
    int32_t era = (z >= 0 ? z : z - 146096) / 146097;
    int32_t day_of_era = z - era * 146097;
    int32_t year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    int32_t day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    int32_t shifted = (5 * day_of_year + 2) / 153;
    *day = day_of_year - (153 * shifted + 2) / 5 + 1;
    *month = shifted < 10 ? shifted + 3 : shifted - 9;
    *year = year_of_era + era * 400 + (*month <= 2);
}

static int days_in_month(int year, int month)
{
    static const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return lengths[month - 1] + (month == 2 && leap);
}

/* Exactly n digits at *at; moves on. */
static bool read_digits(const char **at, int n, int *out)
{
    int value = 0;
    for (int i = 0; i < n; i++) {
        char c = (*at)[i];
        if (c < '0' || c > '9') return false;
        value = value * 10 + (c - '0');
    }
    *at += n;
    *out = value;
    return true;
}

static bool read_char(const char **at, char wanted)
{
    if (**at != wanted) return false;
    (*at)++;
    return true;
}

static bool read_date(const char **at, int32_t *days)
{
    int year, month, day;
    if (!read_digits(at, 4, &year) || !read_char(at, '-') || !read_digits(at, 2, &month) || !read_char(at, '-') ||
        !read_digits(at, 2, &day))
        return false;
    if (year < 1900 || month < 1 || month > 12 || day < 1 || day > days_in_month(year, month)) return false;
    *days = gw_days_from_civil(year, month, day);
    return true;
}

/* hh:mm:ss[.f...] as microseconds of the day; second 60 runs over into the next minute. */
static bool read_clock(const char **at, int64_t *us)
{
    int hour, minute, second;
    if (!read_digits(at, 2, &hour) || !read_char(at, ':') || !read_digits(at, 2, &minute) || !read_char(at, ':') ||
        !read_digits(at, 2, &second))
        return false;
    if (hour > 23 || minute > 59 || second > 60) return false;
    int64_t fraction = 0;
    if (read_char(at, '.')) {
        int digits = 0;
        for (; **at >= '0' && **at <= '9'; (*at)++, digits++)
            if (digits < 6) fraction = fraction * 10 + (**at - '0');
        if (digits == 0) return false;
        for (; digits < 6; digits++) fraction *= 10;
    }
    if (second == 60) fraction = 0;
    *us = ((hour * 60 + minute) * 60LL + second) * 1000000 + fraction;
    return true;
}

static bool read_offset(const char **at, int32_t *minutes)
{
    *minutes = 0;
    if (read_char(at, 'Z') || read_char(at, 'z')) return true;
    int sign = **at == '-' ? -1 : 1;
    int hour, minute;
    if ((**at != '+' && **at != '-') || !(*at)++) return false;
    if (!read_digits(at, 2, &hour) || !read_char(at, ':') || !read_digits(at, 2, &minute)) return false;
    if (hour > 23 || minute > 59) return false;
    *minutes = sign * (hour * 60 + minute);
    return true;
}

gw_instant gw_instant_make(int64_t us, int32_t offset_minutes)
{
    if (offset_minutes < -1439 || offset_minutes > 1439) offset_minutes = 0;
    gw_instant out = {.us = us, .offset_minutes = offset_minutes};
    int64_t local = us + offset_minutes * 60000000LL;
    int64_t day = local / 86400000000LL - (local % 86400000000LL < 0);
    int64_t rest = local - day * 86400000000LL;
    int year, month, date;
    civil_from_days((int32_t)day, &year, &month, &date);
    int seconds = (int)(rest / 1000000);
    int n = snprintf(out.text, sizeof out.text, "%04d-%02d-%02dT%02d:%02d:%02d", year, month, date, seconds / 3600,
                     seconds / 60 % 60, seconds % 60);
    size_t used = n > 0 ? (size_t)n : 0;
    if (rest % 1000000)
        used += (size_t)snprintf(out.text + used, sizeof out.text - used, ".%06d", (int)(rest % 1000000));
    int size = offset_minutes < 0 ? -offset_minutes : offset_minutes;
    if (size == 0)
        snprintf(out.text + used, sizeof out.text - used, "Z");
    else
        snprintf(out.text + used, sizeof out.text - used, "%c%02d:%02d", offset_minutes < 0 ? '-' : '+', size / 60,
                 size % 60);
    return out;
}

gw_status gw_instant_parse(const char *text, gw_instant *out, gw_error *err)
{
    int32_t days, offset;
    int64_t clock;
    const char *at = text;
    bool read = read_date(&at, &days) && (read_char(&at, 'T') || read_char(&at, 't')) && read_clock(&at, &clock) &&
                read_offset(&at, &offset) && *at == '\0';
    if (!read) return gw_fail(err, GW_EINPUT, "is \"%.40s\", %s", text, instant_form);
    *out = gw_instant_make(days * 86400000000LL + clock - offset * 60000000LL, offset);
    return GW_OK;
}

gw_instant gw_instant_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    return gw_instant_make(now.tv_sec * 1000000LL + now.tv_nsec / 1000, 0);
}

double gw_instant_days(const gw_instant *instant)
{
    return (double)instant->us / 86400e6;
}

gw_date gw_date_make(int32_t days)
{
    gw_date out = {.days = days};
    int year, month, day;
    civil_from_days(days, &year, &month, &day);
    snprintf(out.text, sizeof out.text, "%04u-%02u-%02u", (unsigned)year % 10000, (unsigned)month % 100,
             (unsigned)day % 100);
    return out;
}

gw_status gw_date_parse(const char *text, gw_date *out, gw_error *err)
{
    int32_t days;
    const char *at = text;
    if (!read_date(&at, &days) || *at) return gw_fail(err, GW_EINPUT, "is \"%.40s\", %s", text, date_form);
    *out = gw_date_make(days);
    return GW_OK;
}

int64_t gw_monotonic_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec * 1000LL + now.tv_nsec / 1000000;
}
