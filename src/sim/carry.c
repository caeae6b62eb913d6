#include "sim/carry.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "sim/carry_rows.h"
#include "sim/spate.h"
#include "sim/team.h"

#define MOST_COLUMNS 16384

/* What may leave the cells of a row in the step: water outflow and diffusive exchange, per area. */
static void leaving_row(const thaw_web *web, const thaw_carry_edges *e, size_t row, float *restrict out)
{
    const size_t nx = (size_t)web->nx;
    const float d = e->diffusivity_m2_s;
    for (size_t i = 0; i < nx; i++) {
        const size_t k = row + i;
        out[i] = positive(e->fx[k]) + positive(e->fy[k]) + positive(e->fl[k]) + d * (e->dx[k] + e->dy[k] + e->dl[k]);
    }
    for (size_t i = 1; i < nx; i++) {
        const size_t k = row + i - 1;
        out[i] += positive(-e->fx[k]) + d * e->dx[k];
    }
    for (size_t i = 0; row && i < nx; i++) {
        const size_t k = row - nx + i;
        out[i] += positive(-e->fy[k]) + d * e->dy[k];
    }
}

/* The same for what rises through links from below. */
static void leaving_up(const thaw_web *web, const thaw_carry_edges *e, float *restrict out)
{
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l];
        out[web->to[l]] += positive(-e->fl[a]) + e->diffusivity_m2_s * e->dl[a];
    }
}

/* Exchange of the cells of a row with all their neighbours for unit diffusivity, but for those above. */
static void spread_row(const thaw_web *web, const thaw_carry_edges *e, size_t row, float *restrict out)
{
    const size_t nx = (size_t)web->nx;
    for (size_t i = 0; i < nx; i++) {
        out[i] = e->dx[row + i] + e->dy[row + i] + e->dl[row + i];
    }
    for (size_t i = 1; i < nx; i++) {
        out[i] += e->dx[row + i - 1];
    }
    for (size_t i = 0; row && i < nx; i++) {
        out[i] += e->dy[row - nx + i];
    }
}

static double largest(size_t n, const double *restrict rows)
{
    double most = 0.0;
    for (size_t j = 0; j < n; j++) {
        most = rows[j] > most ? rows[j] : most;
    }
    return most;
}

/* Largest leaving x inverse. */
static double worst_of(const thaw_web *web, const float *restrict inverse, const float *restrict leaving, double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        float most = 0.0f;
        for (size_t k = j * nx; k < (j + 1) * nx; k++) {
            const float ratio = leaving[k] * inverse[k];
            most = ratio > most ? ratio : most;
        }
        rows[j] = (double)most;
    }
    return largest(ny, rows);
}

double thaw_carry_courant(const thaw_web *web, const thaw_carry_edges *edges,
                          const float *restrict inverse, float *restrict leaving, double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        float *restrict out = leaving + j * nx;
        leaving_row(web, edges, j * nx, out);
    }
    leaving_up(web, edges, leaving);
    return worst_of(web, inverse, leaving, rows);
}

void thaw_carry_leaving(const thaw_web *web, const thaw_carry_edges *edges, float *restrict water, float *restrict spread)
{
    const size_t nx = (size_t)web->nx;
    thaw_carry_edges still = *edges;
    still.diffusivity_m2_s = 0.0f;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        leaving_row(web, &still, row, water + row);
        spread_row(web, edges, row, spread + row);
    }
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l], b = web->to[l];
        water[b] += positive(-edges->fl[a]);
        spread[b] += edges->dl[a];
    }
}

double thaw_carry_courant_of(const thaw_web *web, float diffusivity_m2_s, const float *restrict water,
                             const float *restrict spread, const float *restrict inverse, float *restrict ratio,
                             double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        float most = 0.0f;
        for (size_t k = j * nx; k < (j + 1) * nx; k++) {
            ratio[k] = (water[k] + diffusivity_m2_s * spread[k]) * inverse[k];
            most = ratio[k] > most ? ratio[k] : most;
        }
        rows[j] = (double)most;
    }
    return largest(ny, rows);
}

/* c after half a step along the rows: of the row before, of this one and of the two after it. */
typedef struct window {
    size_t ready;                  /* rows below this one stand in it */
    float along[4][MOST_COLUMNS];
} window;

static void look_ahead(const thaw_web *web, const float *restrict fx, float half, const float *restrict inverse,
                       const float *restrict c, size_t rows, window *w)
{
    const size_t nx = (size_t)web->nx;
    for (; w->ready < rows && w->ready < (size_t)web->ny; w->ready++) {
        const size_t row = w->ready * nx;
        half_along(nx, fx + row, half, c + row, inverse + row, w->along[w->ready % 4]);
    }
}

/* What crosses the edges of row j. */
static void row_fluxes(const thaw_web *web, const thaw_carry_edges *e, float share, const float *restrict inverse,
                       const float *restrict c, size_t j, window *w, float *restrict gx, float *restrict gy, float *restrict gl)
{
    const size_t nx = (size_t)web->nx, last = (size_t)web->ny - 1, row = j * nx;
    const size_t before = j ? row - nx : row, after = j < last ? row + nx : row;
    const float spread = share * e->diffusivity_m2_s, half = 0.5f * share;
    float across[MOST_COLUMNS + 4]; /* c after half a step across the rows; the border repeats */
    across[2] = across[nx + 1] = 0.0f; /* a row is never empty, but the compiler cannot know */
    half_across(nx, e->fy + before, e->fy + row, half, c + before, c + row, c + after, inverse + row, across + 2);
    across[0] = across[1] = across[2];
    across[nx + 2] = across[nx + 3] = across[nx + 1];
    row_flux(nx, e->fx + row, e->dx + row, share, spread, across, inverse + row, gx + row);
    look_ahead(web, e->fx, half, inverse, c, j + 3, w);
    if (j < last) {
        const float *c0 = w->along[(j ? j - 1 : j) % 4], *c3 = w->along[(j + 2 <= last ? j + 2 : j + 1) % 4];
        column_flux(nx, e->fy + row, e->dy + row, share, spread, c0, w->along[j % 4], w->along[(j + 1) % 4], c3,
                    inverse + row, inverse + row + nx, gy + row);
    } else {
        memset(gy + row, 0, nx * sizeof *gy);
    }
    layer_row(nx, row, web->onto + row, e->fl + row, e->dl + row, share, spread, c, gl + row);
}

/* giving += what row j gives up its links; nothing rises out of the tub. */
static void rise(const thaw_web *web, const float *restrict gl, size_t j, float *restrict giving)
{
    const size_t nx = (size_t)web->nx;
    const int32_t *restrict onto = web->onto + j * nx;
    float up[MOST_COLUMNS]; /* apart: else the compiler makes branches, which are often guessed wrong */
    for (size_t i = 0; i < nx; i++) {
        up[i] = positive(-gl[j * nx + i]);
    }
    for (size_t i = 0; i < nx; i++) {
        giving[onto[i]] += up[i];
    }
}

/* What crosses the edges of a share of the rows, and what cells give away by that. Those of the first row of a share to
 * the row before it are left out. */
static void share_fluxes(const thaw_carry_work *w, const thaw_web *web, const thaw_carry_edges *edges, float share,
                         const float *restrict inverse, const thaw_spate *spate, thaw_team team)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
    const size_t first = thaw_team_first(team, ny), end = thaw_team_end(team, ny);
    window ahead;
    ahead.ready = first ? first - 1 : 0;
    for (size_t j = first; j < end; j++) {
        const size_t row = j * nx;
        row_fluxes(web, edges, share, inverse, w->c, j, &ahead, w->gx, w->gy, w->gl);
        if (spate && spate->n > 0) {
            thaw_spate_take_out(spate, web, j, w->gx, w->gy, w->gl);
        }
        give_row(nx, w->gx + row, w->gy + row, w->gl + row, w->giving + row);
        if (j > first) {
            give_back_row(nx, w->gy + row - nx, w->giving + row);
        }
        if (web->n_links) {
            rise(web, w->gl, j, w->giving);
        }
    }
}

/* c, what crosses the edges, and what cells give away, all they have to say on it before anything moves. Links lead
 * anywhere, so with them the rows go one after the other. */
static void fluxes(const thaw_carry_work *w, const thaw_web *web, const thaw_carry_edges *edges, float share,
                   const float *restrict inverse, const double *restrict mobile, const thaw_spate *spate)
{
    const size_t nx = (size_t)web->nx;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        for (size_t k = row; k < row + nx; k++) {
            w->c[k] = (float)mobile[k] * inverse[k];
            w->giving[k] = 0.0f;
        }
    }
#pragma omp parallel if (web->n_links == 0)
    {
        const thaw_team team = thaw_team_here(NULL);
        share_fluxes(w, web, edges, share, inverse, spate, team);
        const size_t row = thaw_team_first(team, (size_t)web->ny) * nx;
#pragma omp barrier
        if (row) {
            give_back_row(nx, w->gy + row - nx, w->giving + row);
        }
    }
}

/* Share of what a cell would give that it may give, so that it keeps no less than nothing; in place of
 * `giving`. */
static void allow(const thaw_web *web, const double *restrict mobile, float *restrict giving)
{
    const size_t nx = (size_t)web->nx;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        for (size_t k = row; k < row + nx; k++) {
            /* Next to nothing stays: there single precision rounds by more than the margin. */
            const float all = (float)mobile[k], has = all > FLT_MIN ? 0.999999f * all : 0.0f;
            /* A cell a rounding below nothing that gives nothing is not short: no 0 / 0. */
            const int short_of = giving[k] > has;
            giving[k] = (short_of ? has : 1.0f) / (short_of ? giving[k] : 1.0f);
        }
    }
}

/* Flows of a row as they are allowed; those to the next row take turns. */
typedef struct allowed_row {
    float right[MOST_COLUMNS], next[2][MOST_COLUMNS], down[MOST_COLUMNS], under[MOST_COLUMNS];
} allowed_row;

static void allow_next(const thaw_web *web, const float *restrict allowed, const float *restrict gy, size_t j, allowed_row *r)
{
    const size_t nx = (size_t)web->nx, row = j * nx;
    if (row + nx < web->n) {
        hold_back(nx, allowed + row, allowed + row + nx, gy + row, r->next[j % 2]);
    } else {
        memset(r->next[j % 2], 0, nx * sizeof *gy);
    }
}

/* Down the links of row j; returns what leaves the lowest layer. */
static double fall(const thaw_web *web, const float *restrict allowed, const float *restrict gl, size_t j,
                   double *restrict mobile, allowed_row *r)
{
    const size_t nx = (size_t)web->nx, row = j * nx;
    const int32_t *restrict onto = web->onto + row;
    for (size_t i = 0; i < nx; i++) {
        r->under[i] = allowed[onto[i]];
    }
    hold_back(nx, allowed + row, r->under, gl + row, r->down);
    for (size_t i = 0; i < nx; i++) {
        r->under[i] = (size_t)onto[i] == row + i ? 0.0f : r->down[i];
    }
    for (size_t i = 0; web->n_links && i < nx; i++) {
        mobile[onto[i]] += (double)r->under[i];
    }
    return to_tub(nx, row, onto, r->down);
}

/* Move what the givers allow; returns what leaves the lowest layer. */
static double settle(const thaw_web *web, const float *restrict allowed, const float *restrict gx, const float *restrict gy,
                     const float *restrict gl, double *restrict mobile, double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
    double tub = 0.0;
#pragma omp parallel if (web->n_links == 0)
    {
        const thaw_team team = thaw_team_here(NULL);
        const size_t first = thaw_team_first(team, ny), end = thaw_team_end(team, ny);
        allowed_row r;
        if (first) {
            allow_next(web, allowed, gy, first - 1, &r);
        }
        for (size_t j = first; j < end; j++) {
            hold_back_right(nx, allowed + j * nx, gx + j * nx, r.right);
            allow_next(web, allowed, gy, j, &r);
            rows[j] = fall(web, allowed, gl, j, mobile, &r);
            settle_row(nx, r.right, r.next[j % 2], j ? r.next[(j + 1) % 2] : NULL, r.down, mobile + j * nx);
        }
    }
    for (size_t j = 0; j < ny; j++) {
        tub += rows[j];
    }
    return tub;
}

void thaw_carry_part(const thaw_web *web, const thaw_carry_edges *edges, double share, const float *restrict inverse,
                     double *restrict mobile, const thaw_carry_work *work, thaw_spate *spate, double *tub)
{
    fluxes(work, web, edges, (float)share, inverse, mobile, spate);
    allow(web, mobile, work->giving);
    *tub += settle(web, work->giving, work->gx, work->gy, work->gl, mobile, work->rows);
    if (spate && spate->n > 0) {
        *tub += thaw_spate_carry(spate, (float)share, inverse, mobile);
    }
}

void thaw_carry_step(const thaw_web *web, const thaw_carry_edges *edges, double share, const float *restrict inverse,
                     double *restrict mobile, const thaw_carry_work *work, double *tub)
{
    thaw_carry_part(web, edges, share, inverse, mobile, work, NULL, tub);
}
