/*
 * `gramwell stats` on any file, by any method: it never fails but for its input, and says the same twice.
 *
 * The first line of the input holds the method and its options, parted by blanks; the rest is the file.
 */
#include "../../clients/cli/cli.h"
#include "fuzz.h"

#include <stdlib.h>
#include <string.h>

enum { WORDS = 12, LINE = 200 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const uint8_t *end = size ? memchr(data, '\n', size) : NULL;
    size_t length = end ? (size_t)(end - data) : size;
    char line[LINE + 1];
    if (length > LINE || size - length > 4096 || memchr(data, '\0', length)) return -1;
    memcpy(line, data, length);
    line[length] = '\0';

    fuzz_file file;
    fuzz_file_open(&file, end ? end + 1 : data, end ? size - length - 1 : 0);
    char *argv[WORDS + 3] = {"stats"}, *rest = line;
    int argc = 1;
    for (char *word; argc <= WORDS && (word = strtok_r(rest, " ", &rest));) {
        if (word[0] != '/' && strcmp(word, "-") != 0) argv[argc++] = word; /* no other file, no standard input */
    }
    argv[argc++] = file.name;
    int status, again;
    size_t printed, printed_again;
    char *text = fuzz_run(gw_cli_stats, argc, argv, &status, &printed);
    fuzz_must(status == GW_EXIT_DONE || status == GW_EXIT_INPUT);
    char *second = fuzz_run(gw_cli_stats, argc, argv, &again, &printed_again);
    fuzz_must(again == status && printed == printed_again && memcmp(text, second, printed) == 0);
    free(text);
    free(second);
    fuzz_file_close(&file);
    return 0;
}
