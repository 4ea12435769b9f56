/* Days from RFC 3339 dates and date-times. */
#include "assess.h"

#include <string.h>

static bool digits(const char *text, int n, int *out)
{
    *out = 0;
    for (int i = 0; i < n; i++) {
        if (text[i] < '0' || text[i] > '9') return false;
        *out = *out * 10 + (text[i] - '0');
    }
    return true;
}

static bool leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

/* Days since 1970-01-01 in the Gregorian calendar. */
static long civil_day(int year, int month, int day)
{
    static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    long past = year - 1;
    long days = past * 365 + past / 4 - past / 100 + past / 400 + before[month - 1] + day - 1;
    if (month > 2 && leap(year)) days++;
    return days - 719162;
}

static bool parse_date(const char *t, double *day)
{
    static const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int year, month, date;
    if (strlen(t) < 10 || !digits(t, 4, &year) || t[4] != '-' || !digits(t + 5, 2, &month) || t[7] != '-' ||
        !digits(t + 8, 2, &date))
        return false;
    if (year < 1900 || month < 1 || month > 12 || date < 1) return false;
    if (date > lengths[month - 1] + (month == 2 && leap(year))) return false;
    *day = (double)civil_day(year, month, date);
    return true;
}

/* The time behind the date: "T18:30:00", a fraction, then "Z" or an offset. Seconds of the day in UTC. */
static bool parse_time(const char *t, double *seconds)
{
    int hour, minute, second, away_hours = 0, away_minutes = 0;
    if (strlen(t) < 10 || (t[0] != 'T' && t[0] != 't' && t[0] != ' ')) return false;
    if (!digits(t + 1, 2, &hour) || t[3] != ':' || !digits(t + 4, 2, &minute) || t[6] != ':' ||
        !digits(t + 7, 2, &second))
        return false;
    if (hour > 23 || minute > 59 || second > 60) return false;
    double fraction = 0, unit = 0.1;
    t += 9;
    if (*t == '.') {
        if (t[1] < '0' || t[1] > '9') return false;
        for (t++; *t >= '0' && *t <= '9'; t++, unit /= 10) fraction += unit * (*t - '0');
    }
    int sign = *t == '-' ? 1 : -1;
    if (strcmp(t, "Z") != 0 && strcmp(t, "z") != 0) {
        if (strlen(t) != 6 || (*t != '+' && *t != '-') || !digits(t + 1, 2, &away_hours) || t[3] != ':' ||
            !digits(t + 4, 2, &away_minutes) || away_hours > 23 || away_minutes > 59)
            return false;
    }
    *seconds = hour * 3600.0 + minute * 60.0 + second + fraction + sign * (away_hours * 3600.0 + away_minutes * 60.0);
    return true;
}

bool gw_day_parse(const char *text, double *day, bool *date_only)
{
    double seconds = 0;
    if (!parse_date(text, day)) return false;
    *date_only = text[10] == '\0';
    if (!*date_only && !parse_time(text + 10, &seconds)) return false;
    *day += seconds / 86400;
    return true;
}
