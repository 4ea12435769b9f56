#include "http/files.h"

#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/buffer.h"

/* Media types as registered with IANA [from memory]; application/wasm is what streaming compilation asks for. */
static const struct {
    const char *ending;
    const char *type;
} types[] = {
    {".html", "text/html; charset=utf-8"},
    {".js", "text/javascript; charset=utf-8"},
    {".mjs", "text/javascript; charset=utf-8"},
    {".css", "text/css; charset=utf-8"},
    {".json", "application/json"},
    {".map", "application/json"},
    {".webmanifest", "application/manifest+json"},
    {".wasm", "application/wasm"},
    {".svg", "image/svg+xml"},
    {".png", "image/png"},
    {".jpg", "image/jpeg"},
    {".webp", "image/webp"},
    {".ico", "image/vnd.microsoft.icon"},
    {".woff2", "font/woff2"},
    {".txt", "text/plain; charset=utf-8"},
};

static const char for_ever[] = "public, max-age=31536000, immutable";
static const char ask_again[] = "no-cache";

static const char *type_of(const char *name)
{
    const char *ending = strrchr(name, '.');
    for (size_t i = 0; ending && i < sizeof types / sizeof *types; i++)
        if (strcmp(ending, types[i].ending) == 0) return types[i].type;
    return NULL;
}

static bool is_alphanumeric(char c)
{
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* name-XXXXXXXX.ending: the build put the hash of the content into the name. */
static bool has_hash(const char *name)
{
    const char *dash = strrchr(name, '-');
    if (!dash) return false;
    for (int i = 1; i <= 8; i++)
        if (!is_alphanumeric(dash[i])) return false;
    return dash[9] == '.';
}

/* A segment that cannot lead out of the folder or to something hidden. */
static bool is_plain(const char *segment)
{
    return segment[0] != '\0' && segment[0] != '.' && !strchr(segment, '/') && !strchr(segment, '\\');
}

/* The file's path, index.html for the client's own addresses; NULL for what is never served. */
static const char *name_of(gw_arena *arena, const char *root, const gw_path *path)
{
    gw_buffer name;
    gw_buffer_init(&name, arena, 128);
    gw_buffer_add(&name, root);
    const char *last = path->n ? path->segments[path->n - 1] : "";
    if (!strchr(last, '.')) {
        gw_buffer_add(&name, "/index.html");
        return gw_buffer_text(&name);
    }
    for (size_t i = 0; i < path->n; i++) {
        if (!is_plain(path->segments[i])) return NULL;
        gw_buffer_printf(&name, "/%s", path->segments[i]);
    }
    return gw_buffer_text(&name);
}

static int open_regular(const char *name, struct stat *about)
{
    int fd = name ? open(name, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY) : -1;
    if (fd >= 0 && (fstat(fd, about) != 0 || !S_ISREG(about->st_mode))) {
        close(fd);
        fd = -1;
    }
    return fd;
}

gw_status gw_files_open(gw_arena *arena, const char *root, const gw_path *path, bool gzip, gw_file *file, gw_error *err)
{
    struct stat about;
    const char *name = root ? name_of(arena, root, path) : NULL;
    *file = (gw_file){.fd = -1, .type = name ? type_of(name) : NULL};
    if (file->type && gzip) file->fd = open_regular(gw_arena_printf(arena, "%s.gz", name), &about);
    if (file->fd >= 0)
        file->encoding = "gzip";
    else if (file->type)
        file->fd = open_regular(name, &about);
    if (file->fd < 0) return gw_fail(err, GW_EUNKNOWN, "there is nothing at this address");

    file->size = (uint64_t)about.st_size;
    file->cache = has_hash(name) ? for_ever : ask_again;
    file->etag = gw_arena_printf(arena, "\"%llx-%lx-%llx%s\"", (unsigned long long)about.st_mtim.tv_sec,
                                 about.st_mtim.tv_nsec, (unsigned long long)about.st_size, file->encoding ? "-gz" : "");
    return GW_OK;
}
