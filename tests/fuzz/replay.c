/*
 * Runs a fuzz target over the files of a folder, each twice; without libFuzzer, so with any compiler.
 *
 *   fuzz_NAME_replay FOLDER
 */
#include "fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>

enum { INPUT_MOST = 1 << 20 };

static bool run(const char *folder, const char *name)
{
    char path[4096];
    uint8_t *data = malloc(INPUT_MOST);
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *f = fopen(path, "rb");
    size_t size = f && data ? fread(data, 1, INPUT_MOST, f) : 0;
    bool sound = f && data && !ferror(f);
    if (f) fclose(f);
    for (int turn = 0; sound && turn < 2; turn++) LLVMFuzzerTestOneInput(data, size);
    free(data);
    return sound;
}

int main(int argc, char **argv)
{
    DIR *folder = argc == 2 ? opendir(argv[1]) : NULL;
    if (!folder) {
        fputs("usage: fuzz_NAME_replay FOLDER\n", stderr);
        return 2;
    }
    int count = 0;
    bool sound = true;
    for (struct dirent *e; sound && (e = readdir(folder));) {
        if (e->d_name[0] == '.') continue;
        sound = run(argv[1], e->d_name);
        if (!sound) fprintf(stderr, "%s/%s cannot be read\n", argv[1], e->d_name);
        count++;
    }
    closedir(folder);
    printf("%d inputs\n", count);
    return sound && count > 0 ? 0 : 1;
}
