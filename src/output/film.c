#include "output/film.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/alloc.h"
#include "base/bytes.h"
#include "base/error.h"
#include "output/drawing.h"
#include "output/webp.h"
#include "thawprint/say.h"

#define SHOW_MS 200
#define SHOW_LAST_MS 2000
#define COLUMNS 2
#define GAP 24.0
#define TEXT 17.0
#define TITLE 26.0
#define HEAD "# scenario digest %s, seed %s, thawprint %s\nframe,time_h,ice_kg,wet_share\n"

thaw_status thaw_film_webp(const thaw_page_frame *frames, int n, unsigned char **bytes, size_t *n_bytes, thaw_error *err)
{
    thaw_webp_still stills[THAW_PAGE_MOST_FRAMES];
    for (int i = 0; i < n; i++) {
        stills[i] = (thaw_webp_still){frames[i].picture.bytes, frames[i].picture.n, i == n - 1 ? SHOW_LAST_MS : SHOW_MS};
    }
    return thaw_webp_animate(stills, n, bytes, n_bytes, err);
}

thaw_status thaw_film_strip(const char *title, const thaw_strip_frame *frames, int n, thaw_image *out, thaw_error *err)
{
    cairo_t *cairo = NULL;
    const double wide = frames[0].image->width, high = frames[0].image->height;
    const double top = GAP + TITLE * THAW_LINE + GAP, row = high + TEXT * THAW_LINE + GAP;
    const int rows = (n + COLUMNS - 1) / COLUMNS;
    thaw_status status = thaw_draw_begin(GAP + COLUMNS * (wide + GAP), top + rows * row, &cairo, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_draw_grey(cairo, THAW_INK);
    thaw_draw_text(cairo, GAP, GAP, TITLE, false, COLUMNS * (wide + GAP) - GAP, title);
    for (int i = 0; status == THAW_OK && i < n; i++) {
        char time[64], line[96];
        const double x = GAP + (i % COLUMNS) * (wide + GAP), y = top + (i / COLUMNS) * row;
        snprintf(line, sizeof line, "%s%s", frames[i].time_s > 0.0 ? "after " : "at the start",
                 frames[i].time_s > 0.0 ? thaw_say_duration(frames[i].time_s, time, sizeof time) : "");
        status = thaw_draw_picture(cairo, frames[i].image, 1.0, x, y, err);
        thaw_draw_grey(cairo, THAW_INK);
        thaw_draw_text(cairo, x, y + high + 4.0, TEXT, false, wide, line);
    }
    if (status == THAW_OK) {
        status = thaw_draw_end(cairo, frames[0].image->pixel_m, out, err);
    }
    cairo_destroy(cairo);
    return status;
}

static size_t print_head(char *out, size_t size, const char *digest, const char *seed, const char *version)
{
    return (size_t)snprintf(out, size, HEAD, digest, seed, version);
}

thaw_status thaw_film_table(const thaw_page_frame *frames, int n, const char *digest, const char *seed, const char *version,
                            char **out, thaw_error *err)
{
    char line[256];
    thaw_bytes text = {0};
    size_t length = print_head(line, sizeof line, digest, seed, version);
    bool done = thaw_bytes_append(&text, line, length, err);
    for (int i = 0; done && i < n; i++) {
        length = (size_t)snprintf(line, sizeof line, "%d,%.17g,%.17g,%.17g\n", i + 1, frames[i].time_s / 3600.0, frames[i].ice_kg,
                                  frames[i].wet_share);
        done = thaw_bytes_append(&text, line, length, err);
    }
    if (!done) {
        thaw_release(text.bytes);
        return THAW_ERR_MEMORY;
    }
    *out = (char *)text.bytes;
    return THAW_OK;
}

static void release_frames(thaw_page_frame *frames, int n)
{
    for (int i = 0; i < n; i++) {
        thaw_release(frames[i].picture.bytes);
        frames[i] = (thaw_page_frame){0};
    }
}

/* Anybody may have written in the table. */
static bool can_be(const thaw_page_frame *f, double from_s)
{
    return isfinite(f->time_s) && f->time_s >= from_s && isfinite(f->ice_kg) && f->ice_kg >= 0.0 && isfinite(f->wet_share) &&
           f->wet_share >= 0.0;
}

thaw_status thaw_film_read(const unsigned char *webp, size_t n_webp, const char *table, const char *digest, const char *seed,
                           const char *version, thaw_page_frame frames[THAW_PAGE_MOST_FRAMES], int *n, thaw_error *err)
{
    char head[256];
    thaw_error spoilt = {0}; /* a film or table that is spoilt is no failure: no frames */
    const size_t length = print_head(head, sizeof head, digest, seed, version);
    const int count = thaw_webp_count(webp, n_webp);
    *n = 0;
    if (strncmp(table, head, length) != 0 || count < 2 || count > THAW_PAGE_MOST_FRAMES) {
        return THAW_OK;
    }
    const char *at = table + length;
    for (int i = 0; i < count; i++) {
        int number = 0, used = 0;
        double hours = 0.0;
        thaw_page_frame *f = &frames[i];
        *f = (thaw_page_frame){0};
        const bool read = sscanf(at, "%d,%lf,%lf,%lf%n", &number, &hours, &f->ice_kg, &f->wet_share, &used) == 4 && number == i + 1;
        f->time_s = 3600.0 * hours;
        const bool fine = read && can_be(f, i > 0 ? frames[i - 1].time_s : 0.0);
        thaw_status status = fine ? thaw_webp_still_at(webp, n_webp, i, &f->picture.bytes, &f->picture.n, &f->picture.width,
                                                       &f->picture.height, &spoilt)
                                  : THAW_ERR_FILE;
        if (status != THAW_OK) {
            release_frames(frames, i + 1);
            return status == THAW_ERR_MEMORY ? thaw_fail(err, status, "%s", spoilt.text) : THAW_OK;
        }
        at += used;
    }
    *n = count;
    return THAW_OK;
}
