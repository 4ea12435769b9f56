#include "base/log.h"

#include <errno.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static _Atomic int threshold = GW_LOG_INFO;

void gw_log_set_level(gw_log_level level)
{
    atomic_store(&threshold, level);
}

/* One line, one write: a pipe keeps lines below PIPE_BUF whole. Nothing can be done about a log that fails. */
static void write_line(const char *line, size_t length)
{
    while (length > 0) {
        ssize_t n = write(STDERR_FILENO, line, length);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return;
        line += n;
        length -= (size_t)n;
    }
}

static size_t print_head(char *line, size_t size, gw_log_level level, const char *event)
{
    static const char *const names[] = {"debug", "info", "warn", "error"};
    struct timespec now;
    struct tm utc;
    clock_gettime(CLOCK_REALTIME, &now);
    gmtime_r(&now.tv_sec, &utc);
    int n = snprintf(line, size, "%04d-%02d-%02dT%02d:%02d:%02d.%03ldZ %s %s", utc.tm_year + 1900, utc.tm_mon + 1,
                     utc.tm_mday, utc.tm_hour, utc.tm_min, utc.tm_sec, now.tv_nsec / 1000000, names[level], event);
    return n < 0 ? 0 : (size_t)n;
}

void gw_log(gw_log_level level, const char *event, const char *fmt, ...)
{
    if ((int)level < atomic_load(&threshold)) return;
    char line[1024];
    size_t used = print_head(line, sizeof line - 2, level, event);
    if (*fmt && used < sizeof line - 3) {
        line[used++] = ' ';
        va_list args;
        va_start(args, fmt);
        int n = vsnprintf(line + used, sizeof line - 1 - used, fmt, args);
        va_end(args);
        if (n > 0) used += strnlen(line + used, sizeof line - 2 - used);
    }
    for (size_t i = 0; i < used; i++)
        if ((unsigned char)line[i] < 0x20 || line[i] == 0x7F) line[i] = '?';
    line[used++] = '\n';
    write_line(line, used);
}

const char *gw_log_quote(char *out, unsigned size, const char *text)
{
    unsigned used = 0;
    if (size < 3) return "";
    out[used++] = '"';
    for (const char *c = text ? text : ""; *c && used + 3 < size; c++) {
        if (*c == '"' || *c == '\\') out[used++] = '\\';
        out[used++] = *c;
    }
    out[used++] = '"';
    out[used] = '\0';
    return out;
}
