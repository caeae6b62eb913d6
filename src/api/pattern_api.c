/* Sewing patterns from files. */
#include "api/pattern_api.h"

#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"

static thaw_status read_file(const char *path, char **text, size_t *n, thaw_error *err)
{
    bool whole = false;
    switch (thaw_file_look(path)) {
    case THAW_FILE_MISSING:
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: there is no such pattern file", path);
    case THAW_FILE_FOLDER:
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: is a folder, not a pattern file", path);
    default:
        break;                     /* what else is wrong, opening it will tell */
    }
    thaw_status status = thaw_file_read(path, THAW_LARGEST_DRAWING, text, n, &whole, err);
    if (status == THAW_OK && !whole) {
        thaw_release(*text);
        *text = NULL;
        status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: larger than 16 MiB, no pattern is", path);
    }
    return status;
}

thaw_status thaw_pattern_load(const char *path, thaw_pattern **out, thaw_error *err)
{
    char *text = NULL;
    size_t n = 0;
    thaw_pattern *pattern = thaw_allocate(1, sizeof *pattern, err);
    thaw_status status = pattern ? read_file(path, &text, &n, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = thaw_pattern_parse(text, n, path, &pattern->sheet, err);
    }
    thaw_release(text);
    if (status == THAW_OK) {
        *out = pattern;
    } else {
        thaw_pattern_destroy(pattern);
    }
    return status;
}

void thaw_pattern_destroy(thaw_pattern *pattern)
{
    if (pattern) {
        thaw_pattern_release(&pattern->sheet);
        thaw_release(pattern);
    }
}

const char *thaw_pattern_title(const thaw_pattern *pattern)
{
    return pattern->sheet.title;
}

thaw_status thaw_pattern_set_wish(thaw_pattern *pattern, const char *piece, const char *wish, thaw_error *err)
{
    char why[300];
    return thaw_pattern_wish(&pattern->sheet, piece, wish, why, sizeof why) ? THAW_OK
                                                                            : thaw_fail(err, THAW_ERR_ARGUMENT, "%s", why);
}
