/*
 * `gramwell assess` on any two files: it never fails but for its input, and what it prints as JSON is JSON.
 *
 * The input is the file of weighings; behind a line that is "=" alone the file of events. An odd length asks for JSON.
 */
#define _GNU_SOURCE /* memmem */
#include "../../clients/cli/cli.h"
#include "fuzz.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const uint8_t *mark = size ? memmem(data, size, "\n=\n", 3) : NULL;
    size_t length = mark ? (size_t)(mark - data) + 1 : size;
    fuzz_file weighings, events;
    fuzz_file_open(&weighings, data, length);
    fuzz_file_open(&events, mark ? mark + 3 : data, mark ? size - length - 2 : 0);
    bool json = size % 2;
    char *argv[] = {"assess",
                    weighings.name,
                    mark ? "--events" : "--format",
                    mark   ? events.name
                    : json ? "json"
                           : "csv",
                    "--format",
                    json ? "json" : "csv",
                    NULL};
    int status;
    size_t printed;
    char *text = fuzz_run(gw_cli_assess, 6, argv, &status, &printed);
    fuzz_must(status == GW_EXIT_DONE || status == GW_EXIT_INPUT);
    if (json && status == GW_EXIT_DONE) {
        json_t *rows = json_loadb(text, printed, JSON_REJECT_DUPLICATES, NULL);
        fuzz_must(json_is_array(rows));
        json_decref(rows);
    }
    free(text);
    fuzz_file_close(&weighings);
    fuzz_file_close(&events);
    return 0;
}
