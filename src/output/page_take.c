/* The links that save a file are written by page.c as <a class="file" download="NAME" href="data:...;base64,...">. */
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "output/base64.h"
#include "output/page.h"
#include "output/page_links.h"

static const struct {
    const char *entity;
    char letter;
} entities[] = {{"&amp;", '&'}, {"&lt;", '<'}, {"&gt;", '>'}, {"&quot;", '"'}, {"&#39;", '\''}};

/* Text of an attribute of n bytes; false if it does not fit. */
static bool unescape(const char *text, size_t n, char *out, size_t size)
{
    size_t used = 0;
    for (size_t i = 0; i < n;) {
        size_t skip = 1;
        char letter = text[i];
        for (size_t e = 0; letter == '&' && e < sizeof entities / sizeof *entities; e++) {
            const size_t length = strlen(entities[e].entity);
            if (n - i >= length && memcmp(text + i, entities[e].entity, length) == 0) {
                skip = length;
                letter = entities[e].letter;
                break;
            }
        }
        if (used + 1 >= size) {
            return false;
        }
        out[used++] = letter;
        i += skip;
    }
    out[used] = '\0';
    return true;
}

static bool is_plain_name(const char *name)
{
    for (const char *at = name; *at; at++) {
        if ((unsigned char)*at < 0x20 || *at == 0x7f || *at == '/' || *at == '\\') {
            return false;
        }
    }
    return name[0] != '\0' && name[0] != '.';
}

static thaw_status take_one(const char *name, size_t n_name, const char *data, size_t n_data, thaw_taken *out, thaw_error *err)
{
    if (out->n == THAW_PAGE_MOST_FILES) {
        return thaw_fail(err, THAW_ERR_FILE, "holds more than %d files", THAW_PAGE_MOST_FILES);
    }
    thaw_taken_file *file = &out->files[out->n];
    if (!unescape(name, n_name, file->name, sizeof file->name) || !is_plain_name(file->name)) {
        return thaw_fail(err, THAW_ERR_FILE, "names a file `%.*s`, which is no plain file name", (int)(n_name < 60 ? n_name : 60), name);
    }
    for (int i = 0; i < out->n; i++) {
        if (strcmp(out->files[i].name, file->name) == 0) {
            return thaw_fail(err, THAW_ERR_FILE, "holds %s twice", file->name);
        }
    }
    out->n++;
    return thaw_base64_decode(data, n_data, &file->content, err);
}

static const char *find(const char *from, const char *end, const char *what)
{
    const size_t n = strlen(what);
    for (const char *at = from; at && (size_t)(end - at) >= n; at++) {
        at = memchr(at, what[0], (size_t)(end - at) - n + 1);
        if (!at || memcmp(at, what, n) == 0) {
            return at;
        }
    }
    return NULL;
}

static void take_digest(const char *html, const char *end, thaw_taken *out)
{
    const char *at = find(html, end, THAW_LINK_DIGEST);
    const char *text = at ? at + strlen(THAW_LINK_DIGEST) : NULL;
    if (text && end - text > 16 && text[16] == '"') {
        memcpy(out->digest, text, 16);
    }
}

thaw_status thaw_page_take(const char *html, size_t n, thaw_taken *out, thaw_error *err)
{
    const char *end = html + n;
    memset(out, 0, sizeof *out);
    take_digest(html, end, out);
    for (const char *at = html; (at = find(at, end, THAW_LINK_NAME)) != NULL;) {
        const char *name = at + strlen(THAW_LINK_NAME), *name_end = find(name, end, THAW_LINK_DATA);
        const char *data = name_end ? name_end + strlen(THAW_LINK_DATA) : NULL;
        const char *data_end = data ? memchr(data, '"', (size_t)(end - data)) : NULL;
        if (!data_end) {
            return thaw_fail(err, THAW_ERR_FILE, "is cut short");
        }
        thaw_status status = take_one(name, (size_t)(name_end - name), data, (size_t)(data_end - data), out, err);
        if (status != THAW_OK) {
            return status;
        }
        at = data_end;
    }
    return out->n > 0 ? THAW_OK : thaw_fail(err, THAW_ERR_FILE, "is no notebook page: it holds no scenario");
}

void thaw_taken_release(thaw_taken *taken)
{
    for (int i = 0; i < THAW_PAGE_MOST_FILES; i++) {
        thaw_release(taken->files[i].content.bytes);
        taken->files[i].content.bytes = NULL;
    }
}
