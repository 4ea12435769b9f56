/**
 * Inputs for the fuzz targets: values taken from the bytes that the fuzzer offers, and programs run in the process.
 *
 * Each target defines LLVMFuzzerTestOneInput. Linked with libFuzzer it is a fuzzer, linked with replay.c it runs the
 * files of its corpus. What a target finds wrong ends the process by abort(), with the line on standard error.
 */
#ifndef GRAMWELL_TESTS_FUZZ_H
#define GRAMWELL_TESTS_FUZZ_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/** Ends the process unless the condition holds. */
#define fuzz_must(condition) ((condition) ? (void)0 : fuzz_broken(__FILE__, __LINE__, #condition))
void fuzz_broken(const char *file, int line, const char *condition) __attribute__((noreturn));

/** Bytes that are still to be taken; behind the end all are zero. */
typedef struct {
    const uint8_t *data;
    size_t size;
} fuzz_bytes;

uint8_t fuzz_byte(fuzz_bytes *b);
/** Any double there is: special values, sixteen random bits put to the range, or eight bytes as they come. */
double fuzz_double(fuzz_bytes *b, double low, double high);

/** A regular file in memory that holds these bytes; its name is good until fuzz_file_close. */
typedef struct {
    int descriptor;
    char name[32];
} fuzz_file;
void fuzz_file_open(fuzz_file *file, const void *data, size_t size);
void fuzz_file_close(fuzz_file *file);

/** Run a subcommand of the command-line client and keep what it prints on standard output; to be freed. */
char *fuzz_run(int (*command)(int argc, char **argv), int argc, char **argv, int *status, size_t *length);

#endif
