#include "output/json_text.h"

#include <stdbool.h>

#include "base/alloc.h"
#include "base/bytes.h"
#include "base/error.h"

#define DIGITS 6

/* Where jansson dumps to, on our own memory. json_dumps will not do: jansson 2.14 does not look whether
 * a key could be stored, and leaves it out when memory runs out just there. */
typedef struct sink {
    thaw_bytes text;               /* own */
    bool failed;
    thaw_error *err;
} sink;

static int append(const char *bytes, size_t n, void *user)
{
    sink *s = user;
    s->failed = s->failed || !thaw_bytes_append(&s->text, bytes, n, s->err);
    return s->failed ? -1 : 0;
}

thaw_status thaw_json_text(json_t *root, char **out, thaw_error *err)
{
    sink s = {.err = err};
    int failed = !root || json_dump_callback(root, append, &s, JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS)) ||
                 append("\n", 1, &s) || s.failed;
    json_decref(root);
    if (failed) {
        thaw_release(s.text.bytes);
        return thaw_fail(err, THAW_ERR_MEMORY,
                         "the figures could not be put into JSON (is the title UTF-8?)");
    }
    *out = (char *)s.text.bytes;
    return THAW_OK;
}

json_t *thaw_json_whole(json_t *part, int failed)
{
    if (failed) {
        json_decref(part);
        return NULL;
    }
    return part;
}
