/* The two things that the subcommands need of the client's main file. */
#include "../../clients/cli/cli.h"

#include <stdarg.h>
#include <stdio.h>

void gw_cli_say(const char *name, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fprintf(stderr, "gramwell %s: ", name);
    vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
}

bool gw_cli_progress(void)
{
    return false;
}
