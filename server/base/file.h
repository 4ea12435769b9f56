/**
 * Reading whole files.
 */
#ifndef GW_BASE_FILE_H
#define GW_BASE_FILE_H

#include <stddef.h>

#include "base/error.h"

/**
 * Read a regular file whole.
 *
 * @param path    NUL-terminated
 * @param max     refuse files larger than this many bytes
 * @param bytes   out: malloc'd, NUL-terminated behind the end; the caller frees it. NULL on failure
 * @param length  out: bytes without the NUL, may be NULL
 * @return GW_EUNKNOWN when there is no such file or it is not a regular one, GW_ETOOLARGE, GW_EINTERNAL
 */
GW_MUST_CHECK gw_status gw_file_read(const char *path, size_t max, char **bytes, size_t *length, gw_error *err);

#endif
