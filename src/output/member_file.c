#include "output/member_file.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "thawprint/version.h"

#define HEAD_MOST 1024
#define CELLS_MOST 100000000u

#define FIRST "thawprint member\nsum "
#define SUM_DIGITS 16

/* Length of the lines up to and with the sum; 0 if they are not there. */
static size_t length_of_first(const char *bytes, size_t n)
{
    const size_t length = sizeof FIRST - 1 + SUM_DIGITS + 1;
    return n >= length && memcmp(bytes, FIRST, sizeof FIRST - 1) == 0 && bytes[length - 1] == '\n' ? length : 0;
}

uint64_t thaw_member_sum(const char *bytes, size_t n)
{
    uint64_t sum = 0xcbf29ce484222325u;
    const size_t first = length_of_first(bytes, n);
    for (size_t i = first; i < n; i++) {
        sum = (sum ^ (unsigned char)bytes[i]) * 0x100000001b3u;
    }
    return first > 0 ? sum : 0;
}

static void write_sum(char *bytes, size_t n)
{
    char text[SUM_DIGITS + 1];
    snprintf(text, sizeof text, "%016llx", (unsigned long long)thaw_member_sum(bytes, n));
    memcpy(bytes + sizeof FIRST - 1, text, SUM_DIGITS);
}

static bool has_sum(const char *bytes, size_t n)
{
    char text[SUM_DIGITS + 1];
    snprintf(text, sizeof text, "%016llx", (unsigned long long)thaw_member_sum(bytes, n));
    return length_of_first(bytes, n) > 0 && memcmp(bytes + sizeof FIRST - 1, text, SUM_DIGITS) == 0;
}

static size_t write_head(const thaw_member *m, const thaw_member_place *place, char *out)
{
    int n = snprintf(out, HEAD_MOST, FIRST "%016d\nversion %s\nset %s\nmember %d of %d\ncame through %d\nnumbers %d\n", 0,
                     THAW_VERSION, place->set, place->member, place->n_members, m->came_through, m->n_numbers);
    for (int i = 0; i < m->n_numbers; i++) {
        n += snprintf(out + n, (size_t)(HEAD_MOST - n), "%a\n", m->numbers[i]);
    }
    n += snprintf(out + n, (size_t)(HEAD_MOST - n), "cells %d %d %a\n\n", m->nx, m->ny, m->cell_m);
    return (size_t)n;
}

thaw_status thaw_member_encode(const thaw_member *member, const thaw_member_place *place, char **bytes, size_t *n,
                               thaw_error *err)
{
    const size_t cells = (size_t)member->nx * (size_t)member->ny;
    char *out = thaw_allocate(HEAD_MOST + 4 * cells, 1, err);
    if (!out) {
        return THAW_ERR_MEMORY;
    }
    const size_t head = write_head(member, place, out);
    if (cells > 0) {
        memcpy(out + head, member->rgb, 3 * cells);
        memcpy(out + head + 3 * cells, member->lead, cells);
    }
    write_sum(out, head + 4 * cells);
    *bytes = out;
    *n = head + 4 * cells;
    return THAW_OK;
}

static bool read_double(const char **at, double *out)
{
    char *end;
    *out = strtod(*at, &end);
    const bool is_good = end != *at && *end == '\n';
    *at = end + (is_good ? 1 : 0);
    return is_good;
}

/* The head of the member that is expected, up to its numbers, is known word for word. */
static bool read_head(const char *bytes, const thaw_member_place *place, thaw_member *out, const char **at)
{
    char expected[HEAD_MOST];
    bytes += sizeof FIRST - 1 + SUM_DIGITS + 1;
    int n = snprintf(expected, sizeof expected, "version %s\nset %s\nmember %d of %d\ncame through ",
                     THAW_VERSION, place->set, place->member, place->n_members);
    int used = 0, came = 0;
    if (strncmp(bytes, expected, (size_t)n) != 0 ||
        sscanf(bytes + n, "%1d\nnumbers %2d%n", &came, &out->n_numbers, &used) != 2 || out->n_numbers < 0 ||
        out->n_numbers > THAW_MEMBER_NUMBERS || bytes[n + used] != '\n') {
        return false;
    }
    out->came_through = came == 1;
    *at = bytes + n + used + 1;
    for (int i = 0; i < out->n_numbers; i++) {
        if (!read_double(at, &out->numbers[i])) {
            return false;
        }
    }
    if (sscanf(*at, "cells %9d %9d %n", &out->nx, &out->ny, &used) != 2) {
        return false;
    }
    *at += used;
    if (!read_double(at, &out->cell_m) || **at != '\n') {
        return false;
    }
    (*at)++;
    const bool has_cells = out->nx > 0 && out->ny > 0 && out->cell_m > 0.0 && out->cell_m < 1.0;
    return (has_cells || (!out->came_through && out->nx == 0 && out->ny == 0)) &&
           (size_t)out->nx * (size_t)out->ny <= CELLS_MOST;
}

thaw_status thaw_member_decode(const char *bytes, size_t n, const thaw_member_place *place, thaw_member *out,
                               thaw_error *err)
{
    thaw_member m = {0};
    const char *at = bytes;
    if (!has_sum(bytes, n) || !read_head(bytes, place, &m, &at)) {
        return thaw_fail(err, THAW_ERR_FILE, "is not member %d of %d of this set", place->member, place->n_members);
    }
    const size_t cells = (size_t)m.nx * (size_t)m.ny;
    if ((size_t)(at - bytes) + 4 * cells != n) {
        return thaw_fail(err, THAW_ERR_FILE, "is not whole");
    }
    if (cells > 0) {
        m.rgb = thaw_allocate(3 * cells, 1, err);
        m.lead = thaw_allocate(cells, 1, err);
        if (!m.rgb || !m.lead) {
            thaw_release(m.rgb);
            thaw_release(m.lead);
            return THAW_ERR_MEMORY;
        }
        memcpy(m.rgb, at, 3 * cells);
        memcpy(m.lead, at + 3 * cells, cells);
    }
    *out = m;
    return THAW_OK;
}
