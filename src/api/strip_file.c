#include "api/strip_file.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"

#define MOST_FILES 99
#define LONGEST_BYTES 65536u
#define LONGEST_PATH 4096

uint32_t thaw_strip_sum(const char *text, size_t n)
{
    uint32_t sum = 2166136261u; /* FNV-1a */
    for (size_t i = 0; i < n; i++) {
        sum = (sum ^ (unsigned char)text[i]) * 16777619u;
    }
    return sum;
}

/* A file that strip wrote, of that cloth and no other, as it was written. */
static bool is_untouched(const char *text, size_t n, const char *name)
{
    char entry[128], sum[16];
    const char *found = NULL;
    snprintf(entry, sizeof entry, "\n  - name: %.100s\n", name);
    for (const char *at = strstr(text, "\n" THAW_STRIP_SUM); at; at = strstr(at + 1, "\n" THAW_STRIP_SUM)) {
        found = at + 1;
    }
    if (!found || strlen(text) != n || strncmp(text, THAW_STRIP_HEAD, strlen(THAW_STRIP_HEAD)) != 0 || !strstr(text, entry)) {
        return false;
    }
    const char *end = strchr(found, '\n');
    snprintf(sum, sizeof sum, "%08" PRIx32, thaw_strip_sum(text, (size_t)(found - text)));
    return end && end[1] == '\0' && strncmp(found + strlen(THAW_STRIP_SUM), sum, 8) == 0;
}

thaw_status thaw_strip_choose_file(const char *dir, const char *name, char out[THAW_STRIP_FILE], thaw_error *err)
{
    for (int i = 1; i <= MOST_FILES; i++) {
        char file[THAW_STRIP_FILE], path[LONGEST_PATH], *text = NULL;
        size_t n = 0;
        bool whole = false;
        thaw_error why = {0};
        snprintf(file, sizeof file, i > 1 ? "cloths-%d.yaml" : "cloths.yaml", i);
        if (snprintf(path, sizeof path, "%s/%s", dir, file) >= (int)sizeof path) {
            return thaw_fail(err, THAW_ERR_FILE, "the name of the folder is too long");
        }
        const thaw_file_kind kind = thaw_file_look(path);
        const thaw_status status = kind == THAW_FILE_REGULAR ? thaw_file_read(path, LONGEST_BYTES, &text, &n, &whole, &why) : THAW_OK;
        if (status == THAW_ERR_MEMORY) {
            return thaw_fail(err, status, "%s", why.text);
        }
        const bool is_free = kind == THAW_FILE_MISSING || (text && whole && is_untouched(text, n, name));
        thaw_release(text);
        if (is_free) {
            snprintf(out, THAW_STRIP_FILE, "%s", file);
            return THAW_OK;
        }
    }
    return thaw_fail(err, THAW_ERR_FILE, "%s: cloths.yaml to cloths-%d.yaml are all taken; name another folder", dir, MOST_FILES);
}
