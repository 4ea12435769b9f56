#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool read_fully(int fd, char *bytes, size_t length)
{
    size_t have = 0;
    while (have < length) {
        ssize_t n = read(fd, bytes + have, length - have);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return false; /* also: the file became shorter meanwhile */
        have += (size_t)n;
    }
    return true;
}

gw_status gw_file_read(const char *path, size_t max, char **bytes, size_t *length, gw_error *err)
{
    gw_status status = GW_OK;
    char *text = NULL;
    struct stat about;
    *bytes = NULL;

    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (fd < 0 || fstat(fd, &about) != 0 || !S_ISREG(about.st_mode)) {
        status = gw_fail(err, GW_EUNKNOWN, "%s: %s", path, fd < 0 ? strerror(errno) : "not a file");
        goto done;
    }
    if ((unsigned long long)about.st_size > max) {
        status = gw_fail(err, GW_ETOOLARGE, "%s: larger than %zu bytes", path, max);
        goto done;
    }
    text = malloc((size_t)about.st_size + 1);
    if (!text || !read_fully(fd, text, (size_t)about.st_size)) {
        status = gw_fail(err, GW_EINTERNAL, "%s: cannot be read", path);
        goto done;
    }
    text[about.st_size] = '\0';
    *bytes = text;
    if (length) *length = (size_t)about.st_size;
    text = NULL;

done:
    free(text);
    if (fd >= 0) close(fd);
    return status;
}
