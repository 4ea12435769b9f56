/* gramwell: the command-line client. One file a subcommand. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "cli.h"

static const struct {
    const char *name;
    int (*run)(int argc, char **argv);
    const char *what;
} commands[] = {
    {"assess", gw_cli_assess, "judge weighings from a CSV file, without a server"},
    {"import", gw_cli_import, "send checks from a CSV file to a server"},
    {"queue", gw_cli_queue, "list the alerts that wait for a decision"},
    {"sign-in", gw_cli_sign_in, "obtain a token and keep it for the other commands"},
    {"stats", gw_cli_stats, "general statistics of a CSV file, without a server"},
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

static void usage(FILE *to)
{
    fputs("usage: gramwell COMMAND [ARGUMENT...]\n\n", to);
    for (size_t i = 0; i < COMMANDS; i++) fprintf(to, "  %-8s  %s\n", commands[i].name, commands[i].what);
    fputs(
        "\ngramwell COMMAND --help tells more; gramwell(1) is the manual.\n"
        "exit status: 0 done, 1 the server refused or cannot be reached, 2 wrong arguments or input, 3 sign in first\n"
        "What the engine says of an animal is not a diagnosis: it sorts, so that a vet is asked in time.\n",
        to);
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        usage(stderr);
        return GW_EXIT_INPUT;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        usage(stdout);
        return GW_EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        puts("gramwell " GRAMWELL_VERSION);
        return GW_EXIT_DONE;
    }
    for (size_t i = 0; i < COMMANDS; i++) {
        if (strcmp(argv[1], commands[i].name) == 0) return commands[i].run(argc - 1, argv + 1);
    }
    fprintf(stderr, "gramwell: does not know \"%s\"; gramwell --help lists the commands\n", argv[1]);
    return GW_EXIT_INPUT;
}

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
    return isatty(STDERR_FILENO) == 1;
}

void gw_cli_print_text(const char *text, size_t width)
{
    size_t shown = 0;
    for (const unsigned char *c = (const unsigned char *)text; *c; c++) {
        bool begins = (*c & 0xc0) != 0x80; /* not a continuation byte of UTF-8 */
        if (begins && width && shown == width) break;
        shown += begins;
        bool control = *c < 0x20 || *c == 0x7f || (*c == 0xc2 && c[1] >= 0x80 && c[1] < 0xa0);
        if (control) {
            putchar('?');
            if (*c == 0xc2) c++;
        } else {
            putchar(*c);
        }
    }
    for (; shown < width; shown++) putchar(' ');
}
