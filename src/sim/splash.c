#include "sim/splash.h"

#include <math.h>

#include "base/alloc.h"

#define SPLASH_M 0.0055           /* half the patch through which a piece wets the cloth: 2 capillary lengths, estimate */

static size_t count_squares(const thaw_bundle *b)
{
    return (size_t)b->tray_nx * (size_t)b->tray_ny;
}

static thaw_status make_stencil(thaw_splash *s, thaw_error *err)
{
    int reach = (int)(SPLASH_M / s->bundle->tray_m) + 1;
    size_t most = (size_t)(2 * reach + 1) * (size_t)(2 * reach + 1);
    s->stencil_x = thaw_allocate(most, sizeof(int), err);
    s->stencil_y = thaw_allocate(most, sizeof(int), err);
    if (!s->stencil_x || !s->stencil_y) {
        return THAW_ERR_MEMORY;
    }
    for (int j = -reach; j <= reach; j++) {
        for (int i = -reach; i <= reach; i++) {
            if (hypot(i, j) * s->bundle->tray_m <= SPLASH_M) {
                s->stencil_x[s->n_stencil] = i;
                s->stencil_y[s->n_stencil++] = j;
            }
        }
    }
    return THAW_OK;
}

/* The square whose open cells cell k is one of, beside the highest; -1 where only that counts: beside bands, on hanging
 * cloth, and for cells with cloth over them. */
static int32_t square_of_open(const thaw_bundle *b, size_t k)
{
    if (!b->depth || b->tie || k >= thaw_bundle_first_hung(b) || !thaw_bundle_is_cloth(b, k)) {
        return -1;
    }
    const int32_t t = b->tray[k], top = b->top[t];
    const bool is_open = top >= 0 && top != (int32_t)k && b->tray[top] == t && b->depth[k] <= b->depth[top];
    return is_open ? t : -1;
}

static thaw_status list_open(thaw_splash *s, thaw_error *err)
{
    const thaw_bundle *b = s->bundle;
    const size_t squares = count_squares(b);
    int32_t *first = s->first_open = thaw_allocate(squares + 1, sizeof *first, err);
    if (!first) {
        return THAW_ERR_MEMORY;
    }
    for (size_t t = 0; t < squares; t++) {
        first[t + 1] += b->top[t] >= 0;
    }
    for (size_t k = 0; k < b->n; k++) {
        const int32_t t = square_of_open(b, k);
        if (t >= 0) {
            first[t + 1]++;
        }
    }
    for (size_t t = 0; t < squares; t++) {
        first[t + 1] += first[t];
    }
    s->open = thaw_allocate((size_t)first[squares] + 1, sizeof *s->open, err);
    int32_t *next = thaw_allocate(squares, sizeof *next, err);
    if (!s->open || !next) {
        thaw_release(next);
        return THAW_ERR_MEMORY;
    }
    for (size_t t = 0; t < squares; t++) {
        next[t] = first[t];
        if (b->top[t] >= 0) {
            s->open[next[t]++] = b->top[t];
        }
    }
    for (size_t k = 0; k < b->n; k++) {
        const int32_t t = square_of_open(b, k);
        if (t >= 0) {
            s->open[next[t]++] = (int32_t)k;
        }
    }
    thaw_release(next);
    return THAW_OK;
}

thaw_status thaw_splash_create(const thaw_bundle *bundle, int n_powders, thaw_splash *out, thaw_error *err)
{
    thaw_splash s = {.bundle = bundle, .n_powders = n_powders};
    const size_t squares = count_squares(bundle);
    bool whole = make_stencil(&s, err) == THAW_OK && list_open(&s, err) == THAW_OK;
    s.water_kg = whole ? thaw_allocate(squares, sizeof(double), err) : NULL;
    s.wet = whole ? thaw_allocate(squares, sizeof *s.wet, err) : NULL;
    whole = s.water_kg && s.wet;
    for (int c = 0; whole && c < n_powders; c++) {
        whole = (s.dye_kg[c] = thaw_allocate(squares, sizeof(double), err)) != NULL;
    }
    if (!whole) {
        thaw_splash_destroy(&s);
        return THAW_ERR_MEMORY;
    }
    *out = s;
    return THAW_OK;
}

void thaw_splash_destroy(thaw_splash *s)
{
    void *blocks[] = {s->stencil_x, s->stencil_y, s->first_open, s->open, s->water_kg, s->wet};
    for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++) {
        thaw_release(blocks[b]);
    }
    for (int c = 0; c < THAW_MAX_POWDERS; c++) {
        thaw_release(s->dye_kg[c]);
    }
    *s = (thaw_splash){0};
}

/* Square i of the patch round a place, -1 where it has no cloth. */
static int32_t square_at(const thaw_splash *s, double x_m, double y_m, int i)
{
    const thaw_bundle *b = s->bundle;
    const int x = (int)floor(x_m / b->tray_m) + s->stencil_x[i], y = (int)floor(y_m / b->tray_m) + s->stencil_y[i];
    if (x < 0 || y < 0 || x >= b->tray_nx || y >= b->tray_ny) {
        return -1;
    }
    const int32_t t = y * b->tray_nx + x;
    return b->top[t] >= 0 ? t : -1;
}

int thaw_splash_hits(const thaw_splash *splash, double x_m, double y_m)
{
    int hits = 0;
    for (int i = 0; i < splash->n_stencil; i++) {
        hits += square_at(splash, x_m, y_m, i) >= 0;
    }
    return hits;
}

void thaw_splash_add(thaw_splash *s, double x_m, double y_m, int hits, double water_kg, const double *dye_kg)
{
    const double part = 1.0 / hits;
    for (int i = 0; water_kg > 0.0 && i < s->n_stencil; i++) {
        const int32_t t = square_at(s, x_m, y_m, i);
        if (t < 0) {
            continue;
        }
        if (s->water_kg[t] == 0.0) {
            s->wet[s->n_wet++] = t;
        }
        s->water_kg[t] += part * water_kg;
        for (int c = 0; c < s->n_powders; c++) {
            s->dye_kg[c][t] += part * dye_kg[c];
        }
    }
}

int thaw_splash_take(thaw_splash *s, thaw_landing *landings, double *const *dye_kg)
{
    int n = 0;
    for (int i = 0; i < s->n_wet; i++) {
        const int32_t t = s->wet[i];
        const double part = 1.0 / (s->first_open[t + 1] - s->first_open[t]);
        for (int32_t o = s->first_open[t]; o < s->first_open[t + 1]; o++, n++) {
            landings[n] = (thaw_landing){s->open[o], part * s->water_kg[t]};
            for (int c = 0; c < s->n_powders; c++) {
                dye_kg[c][n] = part * s->dye_kg[c][t];
            }
        }
        s->water_kg[t] = 0.0;
        for (int c = 0; c < s->n_powders; c++) {
            s->dye_kg[c][t] = 0.0;
        }
    }
    s->n_wet = 0;
    return n;
}

int thaw_splash_room(const thaw_splash *splash)
{
    return splash->first_open[count_squares(splash->bundle)];
}
