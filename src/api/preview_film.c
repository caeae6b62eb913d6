#include "api/preview_film.h"

#include <stdio.h>
#include <string.h>

#include "api/picture_file.h"
#include "base/alloc.h"
#include "output/film.h"
#include "output/webp.h"
#include "thawprint/version.h"

/* All frames together, so that a page that holds them stays light. */
#define BUDGET_BYTES ((size_t)1600 * 1024)
#define BEST_QUALITY 80
#define WORST_QUALITY 20
#define QUALITY_STEP 12

_Static_assert(THAW_FRAMES_MOST == THAW_PREVIEW_MOST_FRAMES && THAW_FRAMES_MOST == THAW_PAGE_MOST_FRAMES, "as many everywhere");

enum { FILM_WEBP, FILM_STRIP, FILM_TABLE, N_FILMS };
static const struct {
    const char *name, *meaning;
} films[N_FILMS] = {
    {"melt.webp", "the melt through time, animated: bundle and cloth"},
    {"melt-strip.png", "the same as a strip of pictures"},
    {"melt-frames.csv", "time, ice and water of each frame"},
};

int thaw_preview_film_count(void)
{
    return N_FILMS;
}

const char *thaw_preview_film_name(int i)
{
    return i >= 0 && i < N_FILMS ? films[i].name : NULL;
}

const char *thaw_preview_film_meaning(int i)
{
    return i >= 0 && i < N_FILMS ? films[i].meaning : NULL;
}

static void release_stills(thaw_preview *p)
{
    for (int i = 0; i < p->n_frames; i++) {
        thaw_release(p->frames[i].picture.bytes);
    }
    p->n_frames = 0;
}

/* Sum of the bytes of all stills at a quality; they are kept. */
static thaw_status pack(const thaw_frames *frames, int quality, thaw_preview *p, size_t *total, thaw_error *err)
{
    *total = 0;
    release_stills(p);
    for (int i = 0; i < frames->n; i++) {
        const thaw_frame *from = &frames->frames[i];
        thaw_page_frame to = {{NULL, 0, from->image.width, from->image.height}, from->time_s, from->ice_kg, from->wet_share};
        thaw_status status = thaw_webp_encode(&from->image, quality, &to.picture.bytes, &to.picture.n, err);
        if (status != THAW_OK) {
            return status;
        }
        *total += to.picture.n;
        p->frames[p->n_frames++] = to;
    }
    return THAW_OK;
}

static thaw_status draw_strip(const thaw_frames *frames, thaw_preview *p, thaw_error *err)
{
    thaw_strip_frame chosen[THAW_STRIP_FRAMES];
    char title[192];
    const int n = frames->n < THAW_STRIP_FRAMES ? frames->n : THAW_STRIP_FRAMES;
    for (int i = 0; i < n; i++) {
        const thaw_frame *f = &frames->frames[n > 1 ? i * (frames->n - 1) / (n - 1) : 0];
        chosen[i] = (thaw_strip_frame){&f->image, f->time_s};
    }
    snprintf(title, sizeof title, "%s: the melt", p->title);
    return thaw_film_strip(title, chosen, n, &p->strip, err);
}

thaw_status thaw_preview_film_keep(const thaw_frames *frames, thaw_preview *preview, thaw_error *err)
{
    size_t total = BUDGET_BYTES + 1;
    thaw_status status = THAW_OK;
    for (int quality = BEST_QUALITY; status == THAW_OK && total > BUDGET_BYTES && quality >= WORST_QUALITY; quality -= QUALITY_STEP) {
        status = pack(frames, quality, preview, &total, err);
    }
    return status == THAW_OK ? draw_strip(frames, preview, err) : status;
}

thaw_status thaw_preview_film_webp(const thaw_preview *preview, unsigned char **bytes, size_t *n, thaw_error *err)
{
    return thaw_film_webp(preview->frames, preview->n_frames, bytes, n, err);
}

thaw_status thaw_preview_film_png(const thaw_preview *preview, unsigned char **bytes, size_t *n, thaw_error *err)
{
    const thaw_picture_words words = {preview->title, films[FILM_STRIP].meaning, preview->digest, preview->seed};
    return thaw_picture_png(&preview->strip, &words, bytes, n, err);
}

thaw_status thaw_preview_film_add(const thaw_preview *preview, thaw_batch *batch, thaw_error *err)
{
    unsigned char *webp = NULL, *png = NULL;
    char *table = NULL, seed[24];
    size_t n_webp = 0, n_png = 0;
    snprintf(seed, sizeof seed, "%llu", (unsigned long long)preview->seed);
    thaw_status status = thaw_preview_film_webp(preview, &webp, &n_webp, err);
    if (status == THAW_OK) {
        status = thaw_preview_film_png(preview, &png, &n_png, err);
    }
    if (status == THAW_OK) {
        status = thaw_film_table(preview->frames, preview->n_frames, preview->digest, seed, thaw_version(), &table, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, films[FILM_WEBP].name, webp, n_webp, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, films[FILM_STRIP].name, png, n_png, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, films[FILM_TABLE].name, table, strlen(table), err);
    }
    thaw_release(webp);
    thaw_release(png);
    thaw_release(table);
    return status;
}
