/* From a pattern and a scenario to the best lay. */
#include "thawprint/pieces.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/chances_set.h"
#include "api/pieces_result.h"
#include "api/swatches_api.h"
#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "look/colour.h"
#include "study/lay_footprint.h"

#define WISHED_DEPTH 0.02          /* powder on weight of goods at which a wished colour is meant: as a medium shade */
#define RUN_SHARE    0.8           /* of the work that is the runs */

/* ---- progress ---- */

typedef struct teller {
    const thaw_chances_options *outer;
} teller;

static bool tell_run(void *user, const char *phase, double share, double simulated_h)
{
    const teller *t = user;
    return t->outer->progress(t->outer->user, phase, RUN_SHARE * share, simulated_h);
}

static bool tell_lay(void *user, double share)
{
    const teller *t = user;
    return !t->outer->progress ||
           t->outer->progress(t->outer->user, "laying the pieces", RUN_SHARE + (1.0 - RUN_SHARE) * share, 0.0);
}

/* ---- colours ---- */

static void lab_of(const uint8_t rgb[3], double lab[3])
{
    double linear[3], xyz[3];
    for (int c = 0; c < 3; c++) {
        linear[c] = thaw_colour_decode(rgb[c] / 255.0);
    }
    thaw_colour_xyz(linear, xyz);
    thaw_colour_lab(xyz, lab);
}

/* Wished colours as the pictures would show them on this cloth: within what a screen shows. */
static thaw_status find_colours(const thaw_specification *spec, thaw_pattern_sheet *sheet, double bare[3], thaw_error *err)
{
    thaw_swatch swatch;
    thaw_status status = thaw_look_swatch(spec->cloth, 0, NULL, NULL, &swatch, err);
    if (status == THAW_OK) {
        lab_of(swatch.rgb, bare);
    }
    for (int p = 0; p < sheet->n; p++) {
        for (int w = 0; w < sheet->pieces[p].n_wishes && status == THAW_OK; w++) {
            thaw_wish *wish = &sheet->pieces[p].wishes[w];
            if (wish->kind == THAW_WISH_COLOUR && wish->colour) {
                status = thaw_card_colour(spec->cloth, wish->colour, NULL, WISHED_DEPTH, &swatch, err);
                memcpy(wish->rgb, swatch.rgb, sizeof wish->rgb);
            }
            lab_of(wish->rgb, wish->lab);
        }
    }
    return status;
}

/* ---- figures ---- */

static void name_picture(const char *name, int at, char *out, size_t size)
{
    size_t n = (size_t)snprintf(out, size, "piece-%02d-", at + 1);
    for (const char *c = name; *c && n + 5 < size; c++) {
        const bool is_safe = (*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9');
        const bool is_capital = *c >= 'A' && *c <= 'Z';
        if (is_safe || is_capital) {
            out[n++] = (char)(is_capital ? *c + 32 : *c);
        } else if (out[n - 1] != '-') {
            out[n++] = '-';
        }
    }
    n -= out[n - 1] == '-';
    snprintf(out + n, size - n, ".png");
}

static void tell_place(const thaw_pieces *p, int k, thaw_piece_place *out)
{
    const thaw_laid *laid = &p->lay.at[k];
    const thaw_pattern_piece *piece = &p->pattern->sheet.pieces[laid->piece];
    const thaw_extent e = thaw_polygon_extent(&piece->outline);
    *out = (thaw_piece_place){.name = piece->name, .number = laid->number, .n_cut = piece->n_cut, .is_mirrored = laid->is_mirrored,
                              .is_turned = laid->is_turned, .is_placed = laid->is_placed, .width_m = e.x1, .length_m = e.y1,
                              .is_too_wide = e.x1 > p->figures.cloth_width_m + 1e-9, .left_m = laid->i * THAW_LAY_STEP_M,
                              .top_m = laid->j * THAW_LAY_STEP_M, .n_wishes = piece->n_wishes, .score = laid->score,
                              .picture = laid->is_placed ? p->pictures[k] : ""};
    for (int w = 0; w < piece->n_wishes; w++) {
        out->wishes[w].text = piece->wishes[w].text;
        out->wishes[w].mean = laid->wish[w][0];
        out->wishes[w].least = laid->wish[w][1];
        out->wishes[w].most = laid->wish[w][2];
    }
}

static thaw_status tell(thaw_pieces *p, const thaw_lay_room *room, const thaw_specification *spec, thaw_error *err)
{
    thaw_pieces_figures *f = &p->figures;
    thaw_status status = THAW_OK;
    *f = (thaw_pieces_figures){.fits = room->fits, .cloth_width_m = spec->width_m, .cloth_length_m = spec->length_m,
                               .pieces_m2 = room->pieces_m2, .length_needed_m = room->length_m, .width_needed_m = room->width_m,
                               .n_chances = p->chances ? thaw_chances_get_figures(p->chances)->n_came_through : 0,
                               .total = p->lay.total, .n = p->lay.n};
    for (int k = 0; k < p->lay.n && status == THAW_OK; k++) {
        const thaw_pattern_piece *piece = &p->pattern->sheet.pieces[p->lay.at[k].piece];
        name_picture(piece->name, k, p->pictures[k], sizeof p->pictures[k]);
        tell_place(p, k, &f->places[k]);
        if (p->lay.at[k].is_placed) {
            status = thaw_laid_outline(&p->pattern->sheet, &p->lay.at[k], &piece->outline, &p->outlines[k], err);
        }
        if (status == THAW_OK && p->lay.at[k].is_placed && piece->seam.n > 0) {
            status = thaw_laid_outline(&p->pattern->sheet, &p->lay.at[k], &piece->seam, &p->seams[k], err);
        }
    }
    return status;
}

/* ---- running ---- */

/* The members' dry cloth as the search looks at it. */
static thaw_status look_at(const thaw_pieces *p, const double bare[3], thaw_views *out, thaw_error *err)
{
    thaw_image pictures[THAW_VIEWS_MOST];
    const thaw_chances_figures *f = thaw_chances_get_figures(p->chances);
    int n = 0;
    for (int m = 0; m < f->n; m++) {
        const thaw_image picture = thaw_chances_picture(p->chances, m);
        if (picture.rgb && n < THAW_VIEWS_MOST) {
            pictures[n++] = picture;
        }
    }
    return thaw_views_create(pictures, n, bare, out, err);
}

static thaw_status run_chances(thaw_pieces *p, const thaw_pieces_options *options, const char *dir, thaw_error *err)
{
    teller t = {&options->set};
    thaw_chances_options set = options->set;
    int n_run = 0;
    if (set.progress) {
        set.progress = tell_run;
        set.user = &t;
    }
    thaw_status status = thaw_chances_run(p->scenario, &set, dir, &n_run, err);
    return status == THAW_OK ? thaw_chances_gather(p->scenario, &set, dir, &p->chances, err) : status;
}

static thaw_status find_lay(thaw_pieces *p, const thaw_lay_task *task, const thaw_lay_room *room, const thaw_pieces_options *options,
                            const double bare[3], thaw_error *err)
{
    teller t = {&options->set};
    thaw_views views = {0};
    thaw_status status = look_at(p, bare, &views, err);
    if (status == THAW_OK) {
        status = thaw_lay_find(task, &views, room, tell_lay, &t, &p->lay, err);
    }
    thaw_views_release(&views);
    return status;
}

static thaw_status run(thaw_pieces *p, const thaw_pieces_options *options, const char *dir, thaw_error *err)
{
    const thaw_specification *spec = thaw_scenario_specification(p->scenario);
    thaw_pattern_sheet *sheet = &p->pattern->sheet;
    const thaw_lay_task task = {sheet, spec->width_m, spec->length_m, options->one_way || sheet->one_way, spec->seed};
    double bare[3];
    thaw_lay_room *room = thaw_allocate(1, sizeof *room, err);
    thaw_status status = room ? find_colours(spec, sheet, bare, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = thaw_lay_fit(&task, room, err);
    }
    if (status == THAW_OK) {
        p->lay = room->lay;
        p->lay.total = NAN;
    }
    if (status == THAW_OK && room->fits && !options->only_fit) {
        status = run_chances(p, options, dir, err);
        if (status == THAW_OK) {
            status = find_lay(p, &task, room, options, bare, err);
        }
    }
    if (status == THAW_OK) {
        status = tell(p, room, spec, err);
    }
    thaw_release(room);
    return status;
}

thaw_status thaw_pieces_run(const thaw_scenario *scenario, thaw_pattern *pattern, const thaw_pieces_options *options,
                            const char *dir, thaw_pieces **out, thaw_error *err)
{
    if (!options->only_fit && (options->set.n < 2 || options->set.n > THAW_PIECES_CHANCES_MOST)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "2 to %d chances are wanted", THAW_PIECES_CHANCES_MOST);
    }
    thaw_pieces *p = thaw_allocate(1, sizeof *p, err);
    if (!p) {
        return THAW_ERR_MEMORY;
    }
    p->scenario = scenario;
    p->pattern = pattern;
    const int before = options->set.threads > 0 ? thaw_crew_set_threads(options->set.threads) : 0;
    thaw_status status = run(p, options, dir, err);
    if (before > 0) {
        thaw_crew_set_threads(before);
    }
    if (status != THAW_OK) {
        thaw_pieces_destroy(p);
        return status;
    }
    *out = p;
    return THAW_OK;
}

void thaw_pieces_destroy(thaw_pieces *pieces)
{
    if (pieces) {
        for (int k = 0; k < THAW_MAX_CUTS; k++) {
            thaw_polygon_release(&pieces->outlines[k]);
            thaw_polygon_release(&pieces->seams[k]);
        }
        thaw_chances_destroy(pieces->chances);
        thaw_release(pieces);
    }
}

const thaw_pieces_figures *thaw_pieces_get_figures(const thaw_pieces *pieces)
{
    return &pieces->figures;
}
