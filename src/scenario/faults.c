#include "scenario/faults.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/words.h"

#define KEPT           40
#define WIDEST_LINE    100 /* characters of a source line shown */
#define LONGEST_RECORD 2048

typedef struct fault {
    thaw_place place;
    int order; /* of arrival, so that sorting keeps it within a place */
    char message[360];
    char remedy[360];
} fault;

struct thaw_faults {
    const char *path;
    const char *text;
    size_t n;
    int count;
    fault kept[KEPT];
};

thaw_status thaw_faults_create(const char *path, const char *text, size_t n, thaw_faults **out,
                               thaw_error *err)
{
    thaw_faults *faults = thaw_allocate(1, sizeof *faults, err);
    if (!faults) {
        return THAW_ERR_MEMORY;
    }
    faults->path = path;
    faults->text = text;
    faults->n = n;
    *out = faults;
    return THAW_OK;
}

void thaw_faults_destroy(thaw_faults *faults)
{
    thaw_release(faults);
}

int thaw_faults_count(const thaw_faults *faults)
{
    return faults->count;
}

void thaw_faults_add(thaw_faults *faults, thaw_place place, const char *remedy, const char *format,
                     ...)
{
    if (faults->count < KEPT) {
        fault *f = &faults->kept[faults->count];
        f->place = place;
        f->order = faults->count;
        snprintf(f->remedy, sizeof f->remedy, "%s", remedy ? remedy : "");
        va_list args;
        va_start(args, format);
        vsnprintf(f->message, sizeof f->message, format, args);
        va_end(args);
    }
    faults->count++;
}

static int by_place(const void *a, const void *b)
{
    const fault *p = a, *q = b;
    if (p->place.line != q->place.line) {
        return p->place.line < q->place.line ? -1 : 1;
    }
    if (p->place.column != q->place.column) {
        return p->place.column < q->place.column ? -1 : 1;
    }
    return p->order - q->order;
}

static const char *find_line(const thaw_faults *faults, size_t line)
{
    const char *at = faults->text, *end = faults->text + faults->n;
    for (size_t i = 1; i < line && at < end; i++) {
        const char *next = memchr(at, '\n', (size_t)(end - at));
        at = next ? next + 1 : end;
    }
    return at;
}

static int continues_character(char c)
{
    return ((unsigned char)c & 0xC0u) == 0x80u;
}

/* The source line with control characters as spaces, and a caret below. Of a long line the part
 * around the caret is shown. */
static void quote_line(const thaw_faults *faults, thaw_place place, char *out, size_t size)
{
    const char *at = find_line(faults, place.line), *end = faults->text + faults->n;
    size_t first = place.column > WIDEST_LINE * 3 / 4 ? place.column - WIDEST_LINE / 2 : 1;
    size_t used = 0, column = 0;
    for (; at < end && *at != '\n' && used + 8 < size / 2; at++) {
        column += !continues_character(*at);
        if (column >= first && column < first + WIDEST_LINE) {
            int n = thaw_words_control(at);
            out[used++] = n > 0 || *at == '\0' ? ' ' : *at;
            at += n > 1 ? n - 1 : 0;
        }
    }
    while (used > 0 && out[used - 1] == ' ') {
        used--;
    }
    snprintf(out + used, size - used, "\n    %*s^\n", (int)(place.column - first), "");
}

static void write_record(const thaw_faults *faults, const fault *f, char *out, size_t size)
{
    char quoted[1024] = "";
    if (f->place.line == 0) {
        snprintf(out, size, "%s: %s\n", faults->path, f->message);
    } else {
        quote_line(faults, f->place, quoted, sizeof quoted);
        snprintf(out, size, "%s:%zu:%zu: %s\n    %s", faults->path, f->place.line, f->place.column,
                 f->message, quoted);
    }
    size_t used = strlen(out);
    if (f->remedy[0]) {
        snprintf(out + used, size - used, "    %s\n", f->remedy);
    }
}

thaw_status thaw_faults_report(thaw_faults *faults, thaw_error *err)
{
    if (faults->count == 0) {
        return THAW_OK;
    }
    int kept = faults->count < KEPT ? faults->count : KEPT;
    qsort(faults->kept, (size_t)kept, sizeof faults->kept[0], by_place);
    char text[sizeof err->text] = "", record[LONGEST_RECORD];
    size_t used = 0;
    int shown = 0;
    for (; shown < kept; shown++) {
        write_record(faults, &faults->kept[shown], record, sizeof record);
        if (used + strlen(record) + 80 > sizeof text) {
            break;
        }
        used += (size_t)snprintf(text + used, sizeof text - used, "%s", record);
    }
    if (shown < faults->count) {
        used += (size_t)snprintf(text + used, sizeof text - used, "    and %d more faults\n",
                                 faults->count - shown);
    }
    while (used > 0 && text[used - 1] == '\n') {
        text[--used] = '\0';
    }
    return thaw_fail(err, THAW_ERR_SCENARIO, "%s", text);
}
