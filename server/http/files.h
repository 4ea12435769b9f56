/**
 * The files of the built web client. Only for server/http.
 *
 * Types come from a fixed table; a file of another kind is not served. Names with a hash (name-1a2B3c4D.js) never
 * change and may be kept for a year; all others are asked for again each time, by ETag. A path without a dot in its
 * last segment that is no file answers with index.html: the client has its own addresses.
 */
#ifndef GW_HTTP_FILES_H
#define GW_HTTP_FILES_H

#include <stdbool.h>
#include <stdint.h>

#include "base/error.h"
#include "http/path.h"

typedef struct gw_file {
    int fd; /* the caller closes it, or hands it to the listener's library */
    uint64_t size;
    const char *type;
    const char *cache;    /* Cache-Control */
    const char *etag;     /* in the arena */
    const char *encoding; /* "gzip" when the compressed file beside it is served, or NULL */
} gw_file;

/**
 * Find and open a file of the client.
 *
 * @param root  folder; NULL: nothing is served
 * @param gzip  the client takes gzip: name.gz beside name is preferred
 * @return GW_EUNKNOWN for what is not there, hidden names (.x), . and .., unknown types
 */
GW_MUST_CHECK gw_status gw_files_open(gw_arena *arena, const char *root, const gw_path *path, bool gzip, gw_file *file,
                                      gw_error *err);

#endif
