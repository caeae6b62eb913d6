#include "study/frames.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "data/water.h"
#include "look/bundle_view.h"
#include "look/ice_view.h"

#define PI 3.14159265358979323846
#define SCREEN_PIXEL_M (0.0254 / 96.0) /* the two squares have scales of their own */

/* What a frame needs while it is drawn. */
typedef struct drawing {
    double *loose[THAW_MAX_COMPONENTS]; /* own */
    thaw_ice_disc *discs;          /* own */
    thaw_image bundle;             /* own */
} drawing;

static void drawing_release(drawing *d)
{
    for (int c = 0; c < THAW_MAX_COMPONENTS; c++) {
        thaw_release(d->loose[c]);
    }
    thaw_release(d->discs);
    thaw_release(d->bundle.rgb);
}

/* As thaw_outcome_print, but the state stays as it is. */
static thaw_status make_print(const thaw_outcome *w, drawing *d, thaw_print *print, thaw_error *err)
{
    const thaw_state *s = &w->engine.state;
    *print = (thaw_print){.nx = w->bundle.nx, .ny = w->bundle.ny, .cell_m = w->bundle.cell_m, .cloth = w->spec->cloth,
                          .n_components = w->dyes.n, .saturation = s->saturation};
    for (int c = 0; c < w->dyes.n; c++) {
        d->loose[c] = thaw_allocate(w->bundle.n, sizeof(double), err);
        if (!d->loose[c]) {
            return THAW_ERR_MEMORY;
        }
        for (size_t k = 0; k < w->bundle.n; k++) {
            d->loose[c][k] = s->mobile_kg_m2[c][k] + s->hydrolysed_kg_m2[c][k];
        }
        print->components[c] = w->dyes.components[c];
        print->rows[c] = w->dyes.rows[c];
        print->fixed_kg_m2[c] = s->fixed_kg_m2[c];
        print->loose_kg_m2[c] = d->loose[c];
    }
    return THAW_OK;
}

/* As sim/melt.c sees a piece from above. */
static double radius_of(const thaw_heap *heap, int i, double mass_kg)
{
    const double diameter = cbrt(6.0 * mass_kg / heap->count[i] / (PI * THAW_ICE_DENSITY_KG_M3));
    return mass_kg > 0.0 ? 0.5 * diameter * sqrt(heap->area_factor[i] * heap->count[i]) : 0.0;
}

static void set_disc(const thaw_outcome *w, const thaw_print *print, int i, thaw_ice_disc *disc)
{
    const thaw_drip *drip = &w->engine.drip;
    const double r = radius_of(&w->heap, i, w->engine.melt.mass_kg[i]);
    double powder[THAW_MAX_COMPONENTS] = {0};
    *disc = (thaw_ice_disc){w->heap.x_m[i], w->heap.y_m[i], r, {0}};
    for (int c = 0; r > 0.0 && c < print->n_components; c++) {
        for (int p = drip->first_point[i]; p < drip->first_point[i + 1]; p++) {
            powder[c] += drip->powder_kg[c][p] / (PI * r * r);
        }
    }
    if (r > 0.0) {
        thaw_look_powder(print, powder, disc->rgb);
    }
}

static thaw_status draw_bundle(const thaw_outcome *w, const thaw_print *print, drawing *d, thaw_image *on, thaw_error *err)
{
    const double wide = fmax(w->bundle.width_m, w->bundle.length_m) + 2.0 * THAW_BUNDLE_MARGIN_M;
    d->discs = thaw_allocate((size_t)w->heap.n, sizeof *d->discs, err);
    thaw_status status = d->discs ? thaw_look_bundle(print, &w->bundle, true, wide / (THAW_FRAME_SIDE - 0.5), &d->bundle, err)
                                  : THAW_ERR_MEMORY;
    if (status != THAW_OK) {
        return status;
    }
    for (int i = 0; i < w->heap.n; i++) {
        set_disc(w, print, i, &d->discs[i]);
    }
    status = thaw_look_ice(d->discs, w->heap.n, &d->bundle, err);
    if (status == THAW_OK) {
        thaw_look_fit_image(&d->bundle, THAW_FRAME_SIDE, 0, on);
    }
    return status;
}

static double wet_share(const thaw_engine *e)
{
    double water = 0.0, room = 0.0;
    for (size_t k = 0; k < e->bundle->n; k++) {
        water += e->volume_m[k] * e->state.saturation[k];
        room += e->volume_m[k];
    }
    return room > 0.0 ? water / room : 0.0;
}

static thaw_status take(thaw_frames *f, const thaw_engine *e, thaw_error *err)
{
    thaw_print print;
    drawing d = {0};
    thaw_frame frame = {.time_s = e->state.time_s, .ice_kg = e->melt.left_kg, .wet_share = wet_share(e)};
    frame.image = (thaw_image){2 * THAW_FRAME_SIDE, THAW_FRAME_SIDE, SCREEN_PIXEL_M, NULL};
    frame.image.rgb = thaw_allocate((size_t)2 * THAW_FRAME_SIDE * THAW_FRAME_SIDE, 3, err);
    thaw_status status = frame.image.rgb ? make_print(f->work, &d, &print, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = draw_bundle(f->work, &print, &d, &frame.image, err);
    }
    if (status == THAW_OK) {
        status = thaw_look_fit_cloth(&print, THAW_FRAME_SIDE, THAW_FRAME_SIDE, &frame.image, err);
    }
    drawing_release(&d);
    if (status == THAW_OK) {
        f->frames[f->n++] = frame;
    } else {
        thaw_release(frame.image.rgb);
    }
    return status;
}

static double time_of(const thaw_frames *f, int i)
{
    const double x = (double)i / (f->wanted - 1);
    return f->work->spec->leave_s * x * x * x; /* most happens at first */
}

static thaw_status look_on(void *user, const thaw_engine *engine, thaw_error *err)
{
    thaw_frames *f = user;
    if (f->next >= f->wanted || engine->state.time_s < time_of(f, f->next) * (1.0 - 1e-12)) {
        return THAW_OK;
    }
    while (f->next < f->wanted && engine->state.time_s >= time_of(f, f->next) * (1.0 - 1e-12)) {
        f->next++;
    }
    return take(f, engine, err);
}

void thaw_frames_watch(thaw_frames *frames, int wanted, thaw_outcome *work)
{
    *frames = (thaw_frames){.wanted = wanted < 2 ? 2 : wanted > THAW_FRAMES_MOST ? THAW_FRAMES_MOST : wanted, .work = work};
    work->engine.watch = look_on;
    work->engine.watch_user = frames;
}

void thaw_frames_release(thaw_frames *frames)
{
    for (int i = 0; i < frames->n; i++) {
        thaw_release(frames->frames[i].image.rgb);
        frames->frames[i].image.rgb = NULL;
    }
    frames->n = 0;
}
