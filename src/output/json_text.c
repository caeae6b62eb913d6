#include "output/json_text.h"

#include <stdbool.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"

#define DIGITS         6
#define FIRST_CAPACITY 4096u

/* Where jansson dumps to, on our own memory. json_dumps will not do: jansson 2.14 does not look whether
 * a key could be stored, and leaves it out when memory runs out just there. */
typedef struct sink {
    char *text; /* own; room for a NUL is kept */
    size_t n, capacity;
    bool failed;
    thaw_error *err;
} sink;

static int append(const char *bytes, size_t n, void *user)
{
    sink *s = user;
    if (n >= s->capacity - s->n && !s->failed) {
        size_t capacity = 2 * s->capacity + n + FIRST_CAPACITY;
        char *larger = thaw_allocate(capacity, 1, s->err);
        s->failed = !larger;
        if (larger) {
            if (s->n) {
                memcpy(larger, s->text, s->n);
            }
            thaw_release(s->text);
            s->text = larger;
            s->capacity = capacity;
        }
    }
    if (s->failed) {
        return -1;
    }
    memcpy(s->text + s->n, bytes, n);
    s->n += n;
    return 0;
}

thaw_status thaw_json_text(json_t *root, char **out, thaw_error *err)
{
    sink s = {.err = err};
    int failed = !root || json_dump_callback(root, append, &s, JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS)) ||
                 append("\n", 1, &s) || s.failed;
    json_decref(root);
    if (failed) {
        thaw_release(s.text);
        return thaw_fail(err, THAW_ERR_MEMORY,
                         "the figures could not be put into JSON (is the title UTF-8?)");
    }
    *out = s.text; /* zeroed by the allocator, so it ends with a NUL */
    return THAW_OK;
}
