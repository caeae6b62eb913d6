#include "sim/melt.h"

#include <math.h>
#include <stdbool.h>

#include "base/alloc.h"

#define PI 3.141592653589793
#define WET_CLOTH_W_MK 0.40        /* as in warmth: estimate */
#define TOUCH_W_M2K 200.0          /* wet ice on wet cloth: estimate */
#define NEIGHBOURHOOD_M 0.025      /* half window in which gaps beside a piece count */
#define SIDES_SEEN 12
#define LEAST_RADIUS 0.577         /* root mean square radius, of that at its start, of a piece that goes to nothing in the step */
#define FLANK_RADIATION 0.9        /* share of the room that a flank sees: estimate */

thaw_status thaw_melt_create(const thaw_heap *heap, const thaw_bundle *bundle, const thaw_warmth *warmth,
                             thaw_melt *out, thaw_error *err)
{
    thaw_melt m = {.heap = heap, .left_kg = heap->mass_total_kg};
    double **arrays[] = {&m.mass_kg, &m.middle_kg, &m.loses_kg_s, &m.cold_j, &m.radius_m, &m.exposed_m2, &m.facing_m2, &m.contact_w_k,
                         &m.heat_j, &m.released_kg};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        if (!(*arrays[a] = thaw_allocate((size_t)heap->n, sizeof(double), err))) {
            goto fail;
        }
    }
    m.open = thaw_allocate(warmth->n, sizeof(double), err);
    m.spare = thaw_allocate(warmth->n, sizeof(double), err);
    if (!m.open || !m.spare ||
        thaw_cover_create(thaw_bundle_plan_width_m(bundle), thaw_bundle_plan_length_m(bundle), warmth->square_m, &m.cover, err) != THAW_OK) {
        goto fail;
    }
    double thickness = 0.0, share = 0.0, at_once_kg = 0.0;
    for (size_t q = 0; q < warmth->n; q++) {
        const double lies = (1.0 - thaw_warmth_hung(warmth, q)) * warmth->cloth_share[q];
        thickness += warmth->thickness_m[q] * lies;
        share += lies;
    }
    m.bundle_thickness_m = fmax(1e-4, thickness / share);
    if (heap->poured_kg && !(m.pour_j = thaw_allocate((size_t)heap->n, sizeof(double), err))) {
        goto fail;
    }
    for (int i = 0; i < heap->n; i++) {
        const bool now = !heap->at_s || !(heap->at_s[i] > 0.0);
        m.mass_kg[i] = now ? heap->mass_kg[i] : 0.0;
        m.later_kg += now ? 0.0 : heap->mass_kg[i];
        at_once_kg += m.mass_kg[i];
        m.cold_j[i] = heap->mass_kg[i] * THAW_ICE_HEAT_J_KGK * fmax(0.0, THAW_ICE_POINT_K - heap->start_k[i]);
    }
    m.left_kg = heap->at_s ? at_once_kg : heap->mass_total_kg;
    *out = m;
    return THAW_OK;
fail:
    thaw_melt_destroy(&m);
    return THAW_ERR_MEMORY;
}

void thaw_melt_destroy(thaw_melt *m)
{
    double *arrays[] = {m->mass_kg, m->middle_kg, m->loses_kg_s, m->cold_j, m->radius_m, m->exposed_m2, m->facing_m2, m->contact_w_k,
                        m->heat_j, m->released_kg, m->open, m->spare, m->pour_j};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        thaw_release(arrays[a]);
    }
    thaw_cover_destroy(&m->cover);
    *m = (thaw_melt){0};
}

void thaw_melt_add(thaw_melt *melt, double t_s)
{
    const thaw_heap *heap = melt->heap;
    if (!heap->at_s) {
        return;
    }
    melt->later_kg = 0.0;
    for (int i = 0; i < heap->n; i++) {
        if (heap->at_s[i] > melt->added_s && heap->at_s[i] <= t_s) {
            melt->mass_kg[i] = heap->mass_kg[i];
            melt->left_kg += heap->mass_kg[i];
            melt->laid_s = heap->at_s[i];
        } else if (heap->at_s[i] > t_s) {
            melt->later_kg += heap->mass_kg[i];
        }
    }
    melt->added_s = t_s;
}

double thaw_melt_next_s(const thaw_melt *melt, double t_s)
{
    double next = HUGE_VAL;
    for (int i = 0; melt->later_kg > 0.0 && i < melt->heap->n; i++) {
        const double at = melt->heap->at_s[i];
        next = at > t_s && at < next ? at : next;
    }
    return next;
}

static double diameter(const thaw_melt *m, int i)
{
    return cbrt(6.0 * m->middle_kg[i] / m->heap->count[i] / (PI * THAW_ICE_DENSITY_KG_M3));
}

/* Mean of the open share over a window, by running sums along rows then columns. */
static void smooth_open(thaw_melt *m, const double *open)
{
    const int nx = m->cover.nx, ny = m->cover.ny;
    const int h = (int)lround(NEIGHBOURHOOD_M / m->cover.square_m);
    for (int j = 0; j < ny; j++) {
        for (int i = 0; i < nx; i++) {
            double sum = 0.0;
            int n = 0;
            for (int a = i - h; a <= i + h; a++) {
                if (a >= 0 && a < nx) {
                    sum += open[(size_t)j * (size_t)nx + (size_t)a];
                    n++;
                }
            }
            m->spare[(size_t)j * (size_t)nx + (size_t)i] = sum / n;
        }
    }
    for (int j = 0; j < ny; j++) {
        for (int i = 0; i < nx; i++) {
            double sum = 0.0;
            int n = 0;
            for (int b = j - h; b <= j + h; b++) {
                if (b >= 0 && b < ny) {
                    sum += m->spare[(size_t)b * (size_t)nx + (size_t)i];
                    n++;
                }
            }
            m->open[(size_t)j * (size_t)nx + (size_t)i] = sum / n;
        }
    }
}

/* Contact conductance per area: touching film in series with the cloth below and the spreading of
 * heat from the gaps beside the piece. */
static double touch(const thaw_melt *m, double d, double gap)
{
    double spread = 2.0 * WET_CLOTH_W_MK / m->bundle_thickness_m + gap * 8.0 * WET_CLOTH_W_MK / (PI * d);
    return 1.0 / (1.0 / TOUCH_W_M2K + 1.0 / spread);
}

/* From above: what each piece leaves open. From below: what of it faces the cloth. */
static void shade_square(thaw_melt *m, thaw_warmth *w, size_t q)
{
    const thaw_cover *c = &m->cover;
    const double area = c->square_m * c->square_m;
    double open = 1.0;
    for (int32_t l = c->start[q]; l < c->start[q + 1]; l++) {
        m->exposed_m2[c->entry[l]] += area * open * (double)c->share[l];
        open *= 1.0 - (double)c->share[l];
    }
    w->open[q] = open;
    double free = 1.0;
    for (int32_t l = c->start[q + 1] - 1; l >= c->start[q]; l--) {
        double facing = area * free * (double)c->share[l] * w->cloth_share[q];
        m->facing_m2[c->entry[l]] += facing;
        w->contact_w_k[q] += facing * m->contact_w_k[c->entry[l]];
        free *= 1.0 - (double)c->share[l];
    }
}

/* Share of piece i that is left half way through a step: its radius goes down evenly, as fast as in the step before. */
static double left_halfway(const thaw_melt *m, int i, double dt_s)
{
    const double radius = fmax(LEAST_RADIUS, 1.0 - dt_s * m->loses_kg_s[i] / (6.0 * m->mass_kg[i]));
    return radius * radius * radius;
}

thaw_status thaw_melt_cover(thaw_melt *melt, thaw_warmth *warmth, double dt_s, thaw_error *err)
{
    const thaw_heap *heap = melt->heap;
    for (int i = 0; i < heap->n; i++) {
        melt->middle_kg[i] = melt->mass_kg[i] > 0.0 ? melt->mass_kg[i] * left_halfway(melt, i, dt_s) : 0.0;
        melt->exposed_m2[i] = melt->facing_m2[i] = 0.0;
        melt->radius_m[i] = melt->mass_kg[i] > 0.0
                                ? 0.5 * diameter(melt, i) * sqrt(heap->area_factor[i] * heap->count[i])
                                : 0.0;
    }
    thaw_status status = thaw_cover_build(&melt->cover, heap->n, heap->x_m, heap->y_m, melt->radius_m, err);
    if (status != THAW_OK) {
        return status;
    }
    for (int i = 0; i < heap->n; i++) {
        if (melt->mass_kg[i] > 0.0) {
            size_t home = thaw_cover_square(&melt->cover, heap->x_m[i], heap->y_m[i]);
            melt->contact_w_k[i] = touch(melt, diameter(melt, i), melt->open[home]);
        }
    }
    for (size_t q = 0; q < warmth->n; q++) {
        warmth->contact_w_k[q] = 0.0;
        shade_square(melt, warmth, q);
    }
    smooth_open(melt, warmth->open);
    return THAW_OK;
}

/* Share of what lies round piece i that no ice covers: all for a lone piece, none inside the heap. */
static double open_beside(const thaw_melt *m, const thaw_warmth *w, int i)
{
    const double reach = m->radius_m[i] + m->cover.square_m;
    double sum = 0.0;
    for (int a = 0; a < SIDES_SEEN; a++) {
        double angle = 2.0 * PI * a / SIDES_SEEN;
        double x = m->heap->x_m[i] + reach * cos(angle), y = m->heap->y_m[i] + reach * sin(angle);
        int inside = x >= 0.0 && y >= 0.0 && x < m->cover.nx * m->cover.square_m && y < m->cover.ny * m->cover.square_m;
        sum += inside ? w->open[thaw_cover_square(&m->cover, x, y)] : 1.0;
    }
    return sum / SIDES_SEEN;
}

/* 1 for pieces as high as wide, 0 for a sheet of ice; with the voids of the packing where many lie together. */
static double roundness(const thaw_melt *m, int i)
{
    const double r = m->radius_m[i];
    return fmin(1.0, m->middle_kg[i] / THAW_ICE_DENSITY_KG_M3 / (PI * r * r * r * m->heap->packing));
}

/* Heat offered to piece i from the room, J: through what of it is seen from above, and through its sides
 * where nothing lies beside it. A ball on a table has sides of twice its plan area. */
static thaw_surface_heat from_room(const thaw_melt *m, const thaw_warmth *w, int i, const thaw_weather *weather, double dt_s)
{
    const double d = diameter(m, i), dt_k = weather->room_k - THAW_ICE_POINT_K;
    const double r = m->radius_m[i], round = roundness(m, i);
    const double beside = open_beside(m, w, i), sides = 2.0 * PI * r * r * round * beside;
    /* Grains smaller than the still layer of air over a heap add nothing to its smooth surface. */
    const double reach = d / (d + weather->air.conductivity_w_mk / weather->film_top_w_m2k);
    const double single = thaw_air_film_sphere(&weather->air, d, dt_k, weather->draught_m_s);
    const double flank = thaw_air_film_vertical(&weather->air, fmax(0.01, m->height_m), dt_k, weather->draught_m_s);
    const double lone = beside * round * m->lone;
    const double side_film = lone * single + (1.0 - lone) * (reach * single + (1.0 - reach) * flank);
    const double top_film = lone * single + (1.0 - lone) * weather->film_top_w_m2k;
    thaw_surface_heat top = thaw_weather_heat(weather, top_film, THAW_ICE_POINT_K, THAW_EMISSIVITY_ICE);
    thaw_surface_heat side = thaw_weather_heat_aside(weather, side_film, THAW_ICE_POINT_K, THAW_EMISSIVITY_ICE);
    const double seen = m->exposed_m2[i];
    thaw_surface_heat q;
    q.air = dt_s * (seen * top.air + sides * side.air);
    q.latent = dt_s * (seen * top.latent + sides * side.latent);
    q.radiation = dt_s * (seen * top.radiation + FLANK_RADIATION * sides * side.radiation);
    return q;
}

/* Mean height of what is left, and whether it is single pieces or a heap. */
static void set_height(thaw_melt *m, const thaw_warmth *w)
{
    double covered = 0.0, plan = 0.0;
    for (size_t q = 0; q < w->n; q++) {
        covered += (1.0 - w->open[q]) * w->square_m * w->square_m;
    }
    for (int i = 0; i < m->heap->n; i++) {
        plan += PI * m->radius_m[i] * m->radius_m[i];
    }
    m->height_m = covered > 0.0 ? m->left_kg / (THAW_ICE_DENSITY_KG_M3 * m->heap->packing * covered) : 0.0;
    m->lone = plan > 0.0 ? fmin(1.0, fmax(0.0, (covered / plan - 0.5) / 0.3)) : 0.0;
}

/* Sums of the contact heat each piece is offered by the squares it rests on. */
static void offer_contact(thaw_melt *m, const thaw_warmth *w, double dt_s)
{
    const thaw_cover *c = &m->cover;
    for (int i = 0; i < m->heap->n; i++) {
        m->heat_j[i] = 0.0;
    }
    for (size_t q = 0; q < w->n; q++) {
        double free = c->square_m * c->square_m * w->cloth_share[q] * dt_s * (w->t_k[q] - THAW_ICE_POINT_K);
        for (int32_t l = c->start[q + 1] - 1; l >= c->start[q]; l--) {
            int e = c->entry[l];
            m->heat_j[e] += free * (double)c->share[l] * m->contact_w_k[e];
            free *= 1.0 - (double)c->share[l];
        }
    }
}

/* Contact heat that a vanishing piece could not use goes back to the squares below it. */
static void give_back(thaw_melt *m, thaw_warmth *w, double dt_s, const double *used)
{
    const thaw_cover *c = &m->cover;
    for (size_t q = 0; q < w->n; q++) {
        double free = c->square_m * c->square_m * w->cloth_share[q] * dt_s * (w->t_k[q] - THAW_ICE_POINT_K);
        for (int32_t l = c->start[q + 1] - 1; l >= c->start[q]; l--) {
            int e = c->entry[l];
            w->energy_j[q] += free * (double)c->share[l] * m->contact_w_k[e] * (1.0 - used[e]);
            free *= 1.0 - (double)c->share[l];
        }
    }
}

/* Heat of poured liquid that a vanishing piece could not use warms the cloth below. */
static void pour_through(const thaw_melt *m, thaw_warmth *w, const double *used, thaw_heat_ledger *ledger)
{
    for (int i = 0; i < m->heap->n; i++) {
        const size_t q = thaw_cover_square(&m->cover, m->heap->x_m[i], m->heap->y_m[i]);
        const double rest = (1.0 - used[i]) * m->pour_j[i];
        if (rest > 0.0 && w->dry_j_k[q] > 0.0) {
            w->energy_j[q] += rest;
            ledger->poured += rest;
        }
    }
}

/* Heat into one piece: first warm it to 0 C, then melt. Returns the share of the heat it took. */
static double melt_piece(thaw_melt *m, int i, const thaw_surface_heat *room, thaw_heat_ledger *ledger)
{
    const double poured = m->pour_j ? m->pour_j[i] : 0.0;
    const double offered = room->air + room->latent + room->radiation + (m->heat_j[i] + poured);
    const double need = m->cold_j[i] + m->mass_kg[i] * THAW_LATENT_FUSION_J_KG;
    const double used = offered > need ? need / offered : 1.0;
    double heat = offered * used;
    double warming = fmin(heat, m->cold_j[i]);
    double melted = offered > need ? m->mass_kg[i] : (heat - warming) / THAW_LATENT_FUSION_J_KG;
    double condensed = used * room->latent / thaw_water_latent_vaporisation_j_kg(THAW_ICE_POINT_K);
    double released = melted + condensed;
    if (released < 0.0) {
        /* Dry air takes more than melts: ice goes straight into the air, paid for in cold. */
        double taken = fmin(-released, m->mass_kg[i] - melted);
        melted += taken;
        warming -= taken * THAW_LATENT_FUSION_J_KG;
        condensed = -melted;
        released = 0.0;
    }
    m->cold_j[i] -= warming;
    m->mass_kg[i] = offered > need ? 0.0 : m->mass_kg[i] - melted;
    m->released_kg[i] = released;
    m->melted_kg += melted;
    m->condensed_kg += condensed;
    ledger->air += used * room->air;
    ledger->condensation += used * room->latent;
    ledger->radiation += used * room->radiation;
    ledger->poured += used * poured;
    ledger->melt += melted * THAW_LATENT_FUSION_J_KG;
    ledger->cold += warming;
    return used;
}

void thaw_melt_step(thaw_melt *melt, thaw_warmth *warmth, const thaw_weather *weather, double dt_s,
                    thaw_heat_ledger *ledger)
{
    set_height(melt, warmth);
    offer_contact(melt, warmth, dt_s);
    double *used = melt->facing_m2; /* free from here to the next cover */
    melt->left_kg = melt->last_share = 0.0;
    for (int i = 0; i < melt->heap->n; i++) {
        const double before_kg = melt->mass_kg[i];
        melt->released_kg[i] = 0.0;
        used[i] = 1.0;
        if (melt->mass_kg[i] > 0.0) {
            thaw_surface_heat room = from_room(melt, warmth, i, weather, dt_s);
            used[i] = melt_piece(melt, i, &room, ledger);
            melt->left_kg += melt->mass_kg[i];
            melt->loses_kg_s[i] = (before_kg - melt->mass_kg[i]) / dt_s;
            melt->last_share = melt->mass_kg[i] > 0.0 ? melt->last_share : fmax(melt->last_share, used[i]);
        }
    }
    give_back(melt, warmth, dt_s, used);
    if (melt->pour_j) {
        pour_through(melt, warmth, used, ledger);
    }
}

