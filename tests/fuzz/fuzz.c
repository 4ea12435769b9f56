/* What the fuzz targets share. */
#define _GNU_SOURCE /* memfd_create */
#include "fuzz.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

void fuzz_broken(const char *file, int line, const char *condition)
{
    fprintf(stderr, "%s:%d: broken: %s\n", file, line, condition);
    abort();
}

uint8_t fuzz_byte(fuzz_bytes *b)
{
    if (b->size == 0) return 0;
    b->size--;
    return *b->data++;
}

double fuzz_double(fuzz_bytes *b, double low, double high)
{
    static const double special[] = {NAN, INFINITY, -INFINITY, 0.0, -0.0, 5e-324, 2.2e-308, 1.7e308, -1.7e308, 0.1};
    uint8_t kind = fuzz_byte(b);
    if (kind < sizeof special / sizeof *special) return special[kind];
    if (kind < 240) {
        unsigned high_byte = fuzz_byte(b), bits = high_byte << 8 | fuzz_byte(b);
        return low + (high - low) * bits / 65535;
    }
    uint8_t raw[8];
    double value;
    for (size_t i = 0; i < sizeof raw; i++) raw[i] = fuzz_byte(b);
    memcpy(&value, raw, sizeof value);
    return value;
}

void fuzz_file_open(fuzz_file *file, const void *data, size_t size)
{
    file->descriptor = memfd_create("input", 0);
    fuzz_must(file->descriptor >= 0);
    fuzz_must(write(file->descriptor, data, size) == (ssize_t)size);
    fuzz_must(lseek(file->descriptor, 0, SEEK_SET) == 0);
    snprintf(file->name, sizeof file->name, "/proc/self/fd/%d", file->descriptor);
}

void fuzz_file_close(fuzz_file *file)
{
    close(file->descriptor);
}

char *fuzz_run(int (*command)(int argc, char **argv), int argc, char **argv, int *status, size_t *length)
{
    char *text = NULL;
    FILE *usual = stdout, *kept = open_memstream(&text, length);
    fuzz_must(kept != NULL);
    stdout = kept;
    *status = command(argc, argv);
    stdout = usual;
    fuzz_must(fclose(kept) == 0);
    return text;
}
