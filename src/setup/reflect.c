/* z of a cell is the height of the middle of its layer. A panel comes down on what was laid before it:
 *   z' = laid(x) + gap + (z - under(x)), or with its upper side down laid(x) + gap + (over(x) - z),
 * laid: top of what was laid; over, under: upper and lower side of the panel before the folds, all over the
 * places x where it comes down. Tops are cones at their ends: cloth sags over an edge, it does not fall like a
 * step. */
#include "setup/reflect.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/alloc.h"

/* name, value, unit, source */
static const double sag_slope = 1.0;          /* fall of cloth over an edge; estimate */
static const double nothing_m = -1e30;        /* m, height where no cell is */
static const double least_flap_cells = 0.5;   /* cells: hands do not fold less; resolution only */

/* Of each cell. thaw_allocate gives zeros: all is in the hands. */
enum { IN_HAND, FLIPPING, LAID };

/* Heights over squares of one cell. */
typedef struct tops {
    int nx, ny;
    double x_m, y_m, square_m;
    double *z_m;                   /* own */
} tops;

thaw_status thaw_reflect_create(thaw_bundle *bundle, double gap_m, thaw_reflect *out, thaw_error *err)
{
    thaw_reflect r = {.b = bundle, .gap_m = gap_m};
    r.part = thaw_allocate(bundle->n, 1, err);
    if (!r.part)
        return THAW_ERR_MEMORY;
    *out = r;
    return THAW_OK;
}

void thaw_reflect_destroy(thaw_reflect *reflect)
{
    thaw_release(reflect->part);
    *reflect = (thaw_reflect){0};
}

static double stray_at(const thaw_crease *c, double along_m)
{
    if (!c->stray_m)
        return 0.0;
    double at = fmax(0.0, fmin((along_m - c->stray_from_m) / c->stray_step_m, c->n_stray - 1.001));
    int i = (int)at;
    double share = at - i;
    return (1.0 - share) * c->stray_m[i] + share * c->stray_m[i + 1];
}

static double beyond(const thaw_crease *c, double x_m, double y_m)
{
    double dx = x_m - c->x_m, dy = y_m - c->y_m, along_m = dy * c->nx - dx * c->ny;
    bool against = c->nx < 0.0 || (c->nx == 0.0 && c->ny > 0.0);
    return dx * c->nx + dy * c->ny - stray_at(c, against ? -along_m : along_m);
}

/* Which cells move. Returns their number. */
static size_t choose(thaw_reflect *r, const thaw_crease *crease)
{
    const thaw_bundle *b = r->b;
    double farthest = 0.0;
    size_t n = 0;
    for (size_t k = 0; k < b->n; k++)
        if (r->part[k] == IN_HAND) {
            double d = beyond(crease, b->x_m[k], b->y_m[k]);
            farthest = fmax(farthest, d);
            r->part[k] = d > 0.0 ? FLIPPING : IN_HAND;
            n += d > 0.0;
        }
    if (farthest > least_flap_cells * b->cell_m)
        return n;
    for (size_t k = 0; k < b->n; k++)
        if (r->part[k] == FLIPPING)
            r->part[k] = IN_HAND;
    return 0;
}

static void flip(thaw_reflect *r, const thaw_crease *crease)
{
    thaw_bundle *b = r->b;
    for (size_t k = 0; k < b->n; k++)
        if (r->part[k] == FLIPPING) {
            double d = beyond(crease, b->x_m[k], b->y_m[k]);
            b->x_m[k] -= 2.0 * d * crease->nx;
            b->y_m[k] -= 2.0 * d * crease->ny;
            r->part[k] = IN_HAND;
        }
    r->n_turns++;
}

static thaw_status tops_create(const thaw_bundle *b, tops *out, thaw_error *err)
{
    double x0 = b->x_m[0], x1 = x0, y0 = b->y_m[0], y1 = y0;
    for (size_t k = 1; k < b->n; k++) {
        x0 = fmin(x0, b->x_m[k]);
        x1 = fmax(x1, b->x_m[k]);
        y0 = fmin(y0, b->y_m[k]);
        y1 = fmax(y1, b->y_m[k]);
    }
    tops t = {.square_m = b->cell_m, .x_m = x0 - 1.5 * b->cell_m, .y_m = y0 - 1.5 * b->cell_m};
    t.nx = (int)((x1 - t.x_m) / t.square_m) + 3;
    t.ny = (int)((y1 - t.y_m) / t.square_m) + 3;
    t.z_m = thaw_allocate((size_t)t.nx * (size_t)t.ny, sizeof(double), err);
    if (!t.z_m)
        return THAW_ERR_MEMORY;
    *out = t;
    return THAW_OK;
}

static size_t square_of(const tops *t, double x_m, double y_m)
{
    return (size_t)((y_m - t->y_m) / t->square_m) * (size_t)t->nx + (size_t)((x_m - t->x_m) / t->square_m);
}

/* Two sweeps of a chamfer: no place lies lower than its neighbour less the fall of sagging cloth. */
static void let_sag(tops *t)
{
    const double one = sag_slope * t->square_m, slant = one * 1.4142135623730951;
    const int nx = t->nx, ny = t->ny;
    for (int sweep = 0; sweep < 2; sweep++)
        for (int row = 0; row < ny; row++)
            for (int column = 0; column < nx; column++) {
                int i = sweep ? nx - 1 - column : column, j = sweep ? ny - 1 - row : row, way = sweep ? 1 : -1;
                double *at = t->z_m + (size_t)j * (size_t)nx + (size_t)i, best = *at;
                bool side = i + way >= 0 && i + way < nx, other = i - way >= 0 && i - way < nx;
                if (side)
                    best = fmax(best, at[way] - one);
                if (j + way >= 0 && j + way < ny) {
                    const double *next = at + way * nx;
                    best = fmax(best, next[0] - one);
                    if (side)
                        best = fmax(best, next[way] - slant);
                    if (other)
                        best = fmax(best, next[-way] - slant);
                }
                *at = best;
            }
}

/* The top of the cells of one part, or with sign -1 their lower side, upside down. A cell holds up what lies
 * within a cell of it. */
static void fill_tops(const thaw_reflect *r, uint8_t part, double sign, tops *t)
{
    const thaw_bundle *b = r->b;
    for (size_t s = 0; s < (size_t)t->nx * (size_t)t->ny; s++)
        t->z_m[s] = nothing_m;
    for (size_t k = 0; k < b->n; k++) {
        if (r->part[k] != part)
            continue;
        double *middle = t->z_m + square_of(t, b->x_m[k], b->y_m[k]);
        for (int j = -1; j <= 1; j++)
            for (int i = -1; i <= 1; i++) {
                double *at = middle + j * t->nx + i;
                *at = fmax(*at, sign * b->z_m[k]);
            }
    }
    let_sag(t);
}

static double lowest(const thaw_reflect *r, uint8_t part)
{
    double z_m = HUGE_VAL;
    for (size_t k = 0; k < r->b->n; k++)
        if (r->part[k] == part)
            z_m = fmin(z_m, r->b->z_m[k]);
    return z_m;
}

/* The panel of all cells in the hands comes down. */
static void lay_panel(thaw_reflect *r, double sign, const tops *laid, const tops *panel)
{
    thaw_bundle *b = r->b;
    const double rack_m = fmin(lowest(r, LAID), lowest(r, IN_HAND)) - r->gap_m;
    for (size_t k = 0; k < b->n; k++)
        if (r->part[k] == IN_HAND) {
            size_t s = square_of(laid, b->x_m[k], b->y_m[k]);
            b->z_m[k] = fmax(laid->z_m[s], rack_m) + r->gap_m + (panel->z_m[s] - sign * b->z_m[k]);
        }
}

static void mark(thaw_reflect *r, uint8_t from, uint8_t to)
{
    for (size_t k = 0; k < r->b->n; k++)
        if (r->part[k] == from)
            r->part[k] = to;
}

/* Lay all that is in the hands and does not move. The first panel lies where it lay. */
static thaw_status lay(thaw_reflect *r, thaw_error *err)
{
    const double sign = r->n_turns % 2 ? 1.0 : -1.0;
    tops laid = {0}, panel = {0};
    thaw_status status = THAW_OK;
    if (r->n_turns > 0) {
        status = tops_create(r->b, &laid, err);
        if (status == THAW_OK)
            status = tops_create(r->b, &panel, err);
    }
    if (status == THAW_OK && r->n_turns > 0) {
        fill_tops(r, LAID, 1.0, &laid);
        fill_tops(r, IN_HAND, sign, &panel);
        lay_panel(r, sign, &laid, &panel);
    }
    mark(r, IN_HAND, LAID);
    thaw_release(laid.z_m);
    thaw_release(panel.z_m);
    return status;
}

thaw_status thaw_reflect_turn(thaw_reflect *reflect, const thaw_crease *crease, size_t *moved, thaw_error *err)
{
    size_t n = choose(reflect, crease);
    thaw_status status = n > 0 ? lay(reflect, err) : THAW_OK;
    if (status == THAW_OK && n > 0)
        flip(reflect, crease);
    *moved = n;
    return status;
}

thaw_status thaw_reflect_finish(thaw_reflect *reflect, thaw_error *err)
{
    thaw_status status = lay(reflect, err);
    mark(reflect, LAID, IN_HAND);
    reflect->n_turns = 0;
    return status;
}
