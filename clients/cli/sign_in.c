/* sign-in: trade an e-mail address and a passphrase for a token, kept in a file that only its owner can read. */
#include <errno.h>
#include <fcntl.h>
#include <getopt.h>
#include <limits.h>
#include <sodium.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

#include "cli.h"

enum { PASSPHRASE_MAX = 1024 };

static const char help[] =
    "usage: gramwell sign-in --server URL --email ADDRESS [--token-file FILE]\n\n"
    "Asks for the passphrase on the terminal (or reads one line from standard input when that is none) and keeps the\n"
    "token in FILE, by default ~/.config/gramwell/token, for the other commands.\n";

/* Without echo on a terminal; one line of standard input otherwise. */
static bool read_passphrase(char *to, size_t size)
{
    struct termios before, quiet;
    bool terminal = isatty(STDIN_FILENO) && tcgetattr(STDIN_FILENO, &before) == 0;
    if (terminal) {
        quiet = before;
        quiet.c_lflag &= ~(tcflag_t)ECHO;
        fputs("passphrase: ", stderr);
        tcsetattr(STDIN_FILENO, TCSAFLUSH, &quiet);
    }
    bool read = fgets(to, (int)size, stdin) != NULL;
    if (terminal) {
        tcsetattr(STDIN_FILENO, TCSAFLUSH, &before);
        fputc('\n', stderr);
    }
    if (read) to[strcspn(to, "\r\n")] = '\0';
    return read && *to;
}

/* Make the folders above a file that are missing, for their owner only. */
static void make_folders(const char *file)
{
    char path[PATH_MAX];
    snprintf(path, sizeof path, "%s", file);
    for (char *slash = strchr(path + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        (void)mkdir(path, 0700); /* a failure shows when the file is opened */
        *slash = '/';
    }
}

/* Written beside the old one and renamed, so that there is always a whole token. */
static int keep_token(const char *file, const char *token)
{
    char part[PATH_MAX];
    if (snprintf(part, sizeof part, "%s.new", file) >= (int)sizeof part) {
        gw_cli_say("sign-in", "the name of the token file is too long");
        return GW_EXIT_INPUT;
    }
    make_folders(file);
    (void)unlink(part);
    int fd = open(part, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, 0600);
    FILE *f = fd < 0 ? NULL : fdopen(fd, "w");
    bool kept = f && fprintf(f, "%s\n", token) > 0;
    if (f) kept = fclose(f) == 0 && kept;
    if (!kept || rename(part, file) != 0) {
        gw_cli_say("sign-in", "%s: %s", file, strerror(errno));
        return GW_EXIT_FAILED;
    }
    return GW_EXIT_DONE;
}

int gw_cli_sign_in(int argc, char **argv)
{
    static const struct option options[] = {{"server", required_argument, NULL, 's'},
                                            {"email", required_argument, NULL, 'e'},
                                            {"token-file", required_argument, NULL, 't'},
                                            {"help", no_argument, NULL, 'h'},
                                            {0}};
    const char *server = NULL, *email = NULL, *file = NULL;
    char path[PATH_MAX], passphrase[PASSPHRASE_MAX + 2];
    for (int c; (c = getopt_long(argc, argv, "h", options, NULL)) != -1;) {
        switch (c) {
        case 's':
            server = optarg;
            break;
        case 'e':
            email = optarg;
            break;
        case 't':
            file = optarg;
            break;
        case 'h':
            fputs(help, stdout);
            return GW_EXIT_DONE;
        default:
            return GW_EXIT_INPUT;
        }
    }
    if (optind != argc || !email) {
        fputs(help, stderr);
        return GW_EXIT_INPUT;
    }
    if (!file) {
        if (!gw_api_token_path(path, sizeof path)) {
            gw_cli_say("sign-in", "there is no home directory: name a file with --token-file");
            return GW_EXIT_INPUT;
        }
        file = path;
    }
    int status;
    gw_api *api = gw_api_open("sign-in", server, NULL, false, &status);
    if (!api) return status;

    json_t *reply = NULL, *body = NULL;
    long http = 0;
    if (!read_passphrase(passphrase, sizeof passphrase)) {
        gw_cli_say("sign-in", "no passphrase was given");
        status = GW_EXIT_INPUT;
        goto done;
    }
    body = json_pack("{s:s, s:s, s:b}", "email", email, "passphrase", passphrase, "bearer", 1);
    if (!body) {
        gw_cli_say("sign-in", "e-mail address and passphrase must be UTF-8");
        status = GW_EXIT_INPUT;
        goto done;
    }
    http = gw_api_call(api, "POST", "/session", body, &reply);
    const char *token = json_string_value(json_object_get(reply, "token"));
    if (http != 201 || !token) {
        status = gw_api_refused(api, "not signed in", http, reply);
        goto done;
    }
    status = keep_token(file, token);
    if (status == GW_EXIT_DONE) {
        const json_t *person = json_object_get(reply, "person");
        const char *name = json_string_value(json_object_get(person, "name"));
        const char *role = json_string_value(json_object_get(person, "role"));
        fputs("signed in as ", stdout);
        gw_cli_print_text(name ? name : email, 0);
        printf(" (%s); the token is in %s\n", role ? role : "?", file);
    }
done:
    sodium_memzero(passphrase, sizeof passphrase);
    json_decref(body);
    json_decref(reply);
    gw_api_close(api);
    return status;
}
