#include "sim/spate.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"

#define MOST_PARTS 64
#define STEP_COURANT 1.0           /* of a cell in spate */
#define COST_RATIO 4.0             /* time of a cell in spate and step / of a cell in a part: measured, rounded */
#define LEAST_WATER 0.1f           /* of the capacity at the start, so that no cell divides by nothing */

/* Room for edges / number of cells; when more are in spate there is none. */
#define EDGE_ROOM 2

thaw_status thaw_spate_create(size_t n, thaw_spate *out, thaw_error *err)
{
    thaw_spate s = {.cell = thaw_allocate(n, sizeof(int32_t), err), .is = thaw_allocate(n, 1, err),
                    .edge = thaw_allocate(n / EDGE_ROOM + 1, sizeof(thaw_spate_edge), err),
                    .net = thaw_allocate(n, sizeof(float), err), .water = thaw_allocate(n, sizeof(float), err)};
    if (!s.cell || !s.is || !s.edge || !s.net || !s.water) {
        thaw_spate_destroy(&s);
        return THAW_ERR_MEMORY;
    }
    *out = s;
    return THAW_OK;
}

void thaw_spate_destroy(thaw_spate *spate)
{
    thaw_release(spate->cell);
    thaw_release(spate->is);
    thaw_release(spate->edge);
    thaw_release(spate->net);
    thaw_release(spate->water);
    *spate = (thaw_spate){0};
}

#define MOST_EDGES (6 + THAW_WEB_ROUNDS)

/* Edges of cell k over the whole step: four in the plane, those from above, one down. */
static int edges_of(const thaw_web *web, const thaw_carry_edges *e, size_t k, thaw_spate_edge *out)
{
    const size_t nx = (size_t)web->nx;
    const float d = e->diffusivity_m2_s;
    const int32_t here = (int32_t)k, below = web->below ? web->below[k] : -1;
    int n = 0;
    if ((k + 1) % nx) {
        out[n++] = (thaw_spate_edge){here, here + 1, e->fx[k], d * e->dx[k]};
    }
    if (k % nx) {
        out[n++] = (thaw_spate_edge){here - 1, here, e->fx[k - 1], d * e->dx[k - 1]};
    }
    if (k + nx < web->n) {
        out[n++] = (thaw_spate_edge){here, (int32_t)(k + nx), e->fy[k], d * e->dy[k]};
    }
    if (k >= nx) {
        out[n++] = (thaw_spate_edge){(int32_t)(k - nx), here, e->fy[k - nx], d * e->dy[k - nx]};
    }
    for (int32_t a = web->above_start[k]; a < web->above_start[k + 1]; a++) {
        const int32_t up = web->above[a];
        out[n++] = (thaw_spate_edge){up, here, e->fl[up], d * e->dl[up]};
    }
    out[n++] = (thaw_spate_edge){here, below, e->fl[k], below >= 0 ? d * e->dl[k] : 0.0f};
    return n;
}

/* Water that the edges of cell k which are not in spate bring in the step. */
static float net_outside(const thaw_spate *s, const thaw_web *web, const thaw_carry_edges *e, size_t k)
{
    thaw_spate_edge list[MOST_EDGES];
    float water = 0.0f;
    const int n = s->is[k] ? 0 : edges_of(web, e, k, list);
    for (int i = 0; i < n; i++) {
        const int32_t other = list[i].a == (int32_t)k ? list[i].b : list[i].a;
        if (other < 0 || !s->is[other]) {
            water += list[i].a == (int32_t)k ? -list[i].water : list[i].water;
        }
    }
    return water;
}

/* Each edge of a cell in spate once; returns whether there was room. */
static int list_edges(thaw_spate *s, const thaw_web *web, const thaw_carry_edges *e)
{
    const int32_t room = (int32_t)(web->n / EDGE_ROOM);
    thaw_spate_edge list[MOST_EDGES];
    s->n_edges = 0;
    for (int32_t i = 0; i < s->n; i++) {
        const int32_t k = s->cell[i];
        const int n = edges_of(web, e, (size_t)k, list);
        for (int j = 0; j < n; j++) {
            const int32_t other = list[j].a == k ? list[j].b : list[j].a;
            if (other >= 0 && s->is[other] && other < k) {
                continue;
            }
            if (s->n_edges >= room) {
                return 0;
            }
            s->edge[s->n_edges++] = list[j];
            s->net[k] = 0.0f;
            if (other >= 0) {
                s->net[other] = net_outside(s, web, e, (size_t)other);
            }
        }
    }
    return 1;
}

static void forget(thaw_spate *spate)
{
    for (int32_t i = 0; i < spate->n; i++) {
        spate->is[spate->cell[i]] = 0;
    }
    spate->n = spate->n_edges = 0;
}

/* Number of parts with the least work when the cells above their limit go in spate. */
static int best_parts(size_t n, const float *ratio, double worst, double limit, int all)
{
    size_t count[MOST_PARTS + 1] = {0}, above = 0;
    const int most = all < MOST_PARTS ? all : MOST_PARTS;
    const float per = (float)(1.0 / limit);
    for (size_t k = 0; k < n; k++) {
        const float part = ratio[k] * per;
        if (part >= 1.0f) {
            count[part < (float)most ? (int)part : most]++;
        }
    }
    int parts = all;
    double least = (double)all * (double)n;
    for (int p = most; p >= 1; p--) { /* above: cells with a Courant number of at least p limits */
        above += count[p];
        const double cost = p * ((double)n + COST_RATIO * (double)above * ceil(worst / (p * STEP_COURANT)));
        if (p < all && cost < least) {
            least = cost;
            parts = p;
        }
    }
    return parts;
}

int thaw_spate_choose(thaw_spate *spate, const thaw_web *web, const thaw_carry_edges *edges, const float *ratio,
                      double worst, double limit)
{
    const int all = 1 + (int)(worst / limit);
    forget(spate);
    const int parts = all == 1 ? 1 : best_parts(web->n, ratio, worst, limit, all);
    if (parts == all) {
        return all;
    }
    const float per = (float)(1.0 / limit), from = (float)parts;
    for (size_t k = 0; k < web->n; k++) {
        if (ratio[k] * per >= from) {
            spate->is[k] = 1;
            spate->cell[spate->n++] = (int32_t)k;
        }
    }
    spate->steps = (int)ceil(worst / (parts * STEP_COURANT));
    if (!list_edges(spate, web, edges)) {
        forget(spate);
        return all;
    }
    return parts;
}

void thaw_spate_take_out(const thaw_spate *spate, const thaw_web *web, float *gx, float *gy, float *gl)
{
    const size_t nx = (size_t)web->nx;
    for (int32_t i = 0; i < spate->n; i++) {
        const size_t k = (size_t)spate->cell[i];
        gx[k] = gy[k] = gl[k] = 0.0f;
        if (k % nx) {
            gx[k - 1] = 0.0f;
        }
        if (k >= nx) {
            gy[k - nx] = 0.0f;
        }
        for (int32_t a = web->above_start[k]; a < web->above_start[k + 1]; a++) {
            gl[web->above[a]] = 0.0f;
        }
    }
}

static inline float held(const thaw_spate *s, const float *inverse, int32_t k)
{
    const float least = LEAST_WATER / inverse[k];
    return s->water[k] > least ? s->water[k] : least;
}

/* Move a part of what goes along one edge; returns what went into the tub. */
static double move(thaw_spate *s, const thaw_spate_edge *e, float part, const float *inverse, double *mobile)
{
    const float water = part * e->water;
    const double a = fmax(0.0, mobile[e->a]);
    const float ca = (float)a / held(s, inverse, e->a);
    if (e->b < 0) {
        const double out = fmin(a, (double)(water * ca));
        mobile[e->a] -= out;
        s->water[e->a] -= water;
        return out;
    }
    const double b = fmax(0.0, mobile[e->b]);
    const float cb = (float)b / held(s, inverse, e->b);
    const double want = (double)(water * (water > 0.0f ? ca : cb) + part * e->spread * (ca - cb));
    const double amount = want > 0.0 ? fmin(want, a) : fmax(want, -b);
    mobile[e->a] -= amount;
    mobile[e->b] += amount;
    s->water[e->a] -= water;
    s->water[e->b] += water;
    return 0.0;
}

double thaw_spate_carry(thaw_spate *spate, float share, const float *inverse, double *mobile)
{
    double tub = 0.0;
    for (int32_t i = 0; i < spate->n_edges; i++) {
        const int32_t a = spate->edge[i].a, b = spate->edge[i].b;
        spate->water[a] = 1.0f / inverse[a] + share * spate->net[a];
        if (b >= 0) {
            spate->water[b] = 1.0f / inverse[b] + share * spate->net[b];
        }
    }
    const float part = share / (float)spate->steps;
    for (int step = 0; step < spate->steps; step++) {
        for (int32_t i = 0; i < spate->n_edges; i++) { /* forth and back in turn */
            tub += move(spate, &spate->edge[step % 2 ? spate->n_edges - 1 - i : i], part, inverse, mobile);
        }
    }
    return tub;
}
