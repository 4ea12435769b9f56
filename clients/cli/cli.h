/**
 * What the subcommands of `gramwell` share.
 *
 * Exit status  every subcommand returns one of the values below; gramwell(1) documents them.
 * Output       results on standard output, everything else on standard error, progress only on a terminal.
 */
#ifndef GRAMWELL_CLI_H
#define GRAMWELL_CLI_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

enum {
    GW_EXIT_DONE = 0,
    GW_EXIT_FAILED = 1,  /* the server could not be reached, or refused something */
    GW_EXIT_INPUT = 2,   /* wrong arguments or input: nothing was sent */
    GW_EXIT_SIGN_IN = 3, /* no token, an expired one, or a role that may not */
};

/* One function a subcommand; argv[0] is its name. */
int gw_cli_assess(int argc, char **argv);
int gw_cli_import(int argc, char **argv);
int gw_cli_queue(int argc, char **argv);
int gw_cli_sign_in(int argc, char **argv);
int gw_cli_stats(int argc, char **argv);

/** Print "gramwell NAME: ..." and a newline to standard error. */
void gw_cli_say(const char *name, const char *format, ...) __attribute__((format(printf, 2, 3)));

/** True when standard error is a terminal: then progress may be shown. */
bool gw_cli_progress(void);

/**
 * Print text without the control characters that could work a terminal: what the server sends was typed by people.
 *
 * @param width  pad with blanks to this many characters and cut behind it; 0: neither
 */
void gw_cli_print_text(const char *text, size_t width);

/** A connection to one server. Opaque; closed by gw_api_close, NULL included. */
typedef struct gw_api gw_api;

/**
 * Open a connection. Says on standard error what is wrong.
 *
 * @param name        of the subcommand, for messages
 * @param server      "http://127.0.0.1:8080" or "https://..."; NULL: from GRAMWELL_SERVER. Plain http only to loopback.
 * @param token_file  file with the token; NULL: GRAMWELL_TOKEN, else ~/.config/gramwell/token
 * @param signed_in   false: no token is looked for
 * @param status      out, on failure: exit status
 * @return NULL on failure
 */
gw_api *gw_api_open(const char *name, const char *server, const char *token_file, bool signed_in, int *status);
void gw_api_close(gw_api *api);

/**
 * One request. Waits and repeats, for up to a minute, when the server is busy (429, 503).
 *
 * @param path   below /api/v1, query included
 * @param body   NULL: none; the caller keeps it
 * @param reply  out: the answer's JSON, to be freed by the caller; NULL when there was none
 * @return HTTP status, or 0 when the server could not be reached (said on standard error)
 */
long gw_api_call(gw_api *api, const char *method, const char *path, const json_t *body, json_t **reply);

/**
 * All entries of a list that comes in pages.
 *
 * @param path    with at least one query parameter, for instance "/animals?limit=200"
 * @param member  of the answer that holds the entries
 * @param list    out: array, to be freed by the caller
 * @return exit status; faults are said on standard error
 */
int gw_api_list(gw_api *api, const char *path, const char *member, json_t **list);

/** Say what a refused request's problem document says, each fault in a line of its own; returns the exit status. */
int gw_api_refused(const gw_api *api, const char *what, long http_status, const json_t *problem);

/** Where the token is kept when nothing else is said; false when there is no home directory. */
bool gw_api_token_path(char *path, size_t size);

#endif
