#include "study/chance.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "look/colour.h"
#include "look/dressed.h"
#include "look/measure.h"
#include "study/outcome.h"

#define PATCH_M 0.010              /* pictures are compared in squares so large: an eye at arm's length */

int thaw_set_colours(const thaw_specification *spec, const thaw_colour *colours[THAW_MAX_DYE_ZONES])
{
    int n = 0;
    for (int z = 0; z < spec->n_dye; z++) {
        bool known = false;
        for (int c = 0; c < n; c++) {
            known = known || colours[c] == spec->dye[z].colour;
        }
        if (!known) {
            colours[n++] = spec->dye[z].colour;
        }
    }
    return n;
}

typedef struct asker {
    thaw_member_keep_on keep_on;
    void *user;
} asker;

static bool ask(void *user, double share, double time_s)
{
    const asker *a = user;
    (void)time_s;
    return !a->keep_on || a->keep_on(a->user, share);
}

static thaw_status look_at(thaw_outcome *work, thaw_member *member, thaw_error *err)
{
    const thaw_colour *colours[THAW_MAX_DYE_ZONES];
    const int n_colours = thaw_set_colours(work->spec, colours);
    thaw_preview_figures figures = {0};
    thaw_print print;
    thaw_image image = {0};
    thaw_status status = thaw_outcome_conclude(work, &print, &figures, err);
    *member = (thaw_member){.came_through = true, .n_numbers = thaw_headline_count(), .nx = print.nx, .ny = print.ny,
                            .cell_m = print.cell_m};
    for (int h = 0; h < member->n_numbers; h++) {
        member->numbers[h] = thaw_headline_value(thaw_headline_at(h), &figures);
    }
    if (status == THAW_OK) {
        status = thaw_look_dressed(&print, &work->bundle, &work->spec->garment, false, 1, &image, err);
        member->rgb = image.rgb;
    }
    if (status == THAW_OK) {
        member->lead = thaw_allocate((size_t)print.nx * (size_t)print.ny, 1, err);
        status = member->lead ? thaw_look_lead(&print, n_colours, colours, member->lead, err) : THAW_ERR_MEMORY;
    }
    return status;
}

thaw_status thaw_member_run(const thaw_set_plan *plan, int m, thaw_member_keep_on keep_on, void *user,
                            thaw_member *out, thaw_error *err)
{
    thaw_variation *variation = thaw_allocate(1, sizeof *variation, err);
    thaw_outcome *work = thaw_allocate(1, sizeof *work, err);
    thaw_error own = {0};          /* large, but the run's failure may be no failure of ours */
    thaw_member member = {0};
    asker a = {keep_on, user};
    thaw_status status = variation && work ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        thaw_unknowns_vary(plan->spec, m, plan->n, plan->only_luck, variation);
        variation->spec.cell_m = plan->cell_m;
        work->spec = &variation->spec;
        work->variation = plan->only_luck ? NULL : variation;
        status = thaw_outcome_prepare(work, &own);
    }
    if (status == THAW_OK) {
        status = thaw_engine_run(&work->engine, ask, &a, &own);
    }
    if (status == THAW_OK) {
        status = look_at(work, &member, &own);
    }
    if (status == THAW_ERR_UNPHYSICAL) {
        thaw_member_release(&member);
        member = (thaw_member){.n_numbers = thaw_headline_count()};
        status = THAW_OK;
    }
    thaw_outcome_clear(work);
    thaw_release(work);
    thaw_release(variation);
    if (status != THAW_OK) {
        thaw_member_release(&member);
        return own.status != THAW_OK ? thaw_fail(err, status, "%s", own.text) : status;
    }
    *out = member;
    return THAW_OK;
}

void thaw_member_release(thaw_member *member)
{
    thaw_release(member->rgb);
    thaw_release(member->lead);
    member->rgb = member->lead = NULL;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

double thaw_quantile(double *values, int n, double p)
{
    int known = 0;
    for (int i = 0; i < n; i++) {
        if (!isnan(values[i])) {
            values[known++] = values[i];
        }
    }
    if (known == 0) {
        return NAN;
    }
    qsort(values, (size_t)known, sizeof *values, by_size);
    const double place = p * (known - 1);
    const int below = (int)place, above = below + 1 < known ? below + 1 : below;
    const double part = place - below;
    const bool is_between = part > 0.0 && isfinite(values[below]); /* from the infinite none is an interpolation */
    return is_between ? values[below] + part * (values[above] - values[below]) : values[below];
}

/* Mean L*a*b* of the patches of a member's picture: 3 a patch. */
static void fill_patches(const thaw_member *member, int px, int py, float *lab)
{
    const double cells_x = (double)member->nx / px, cells_y = (double)member->ny / py;
    for (int j = 0; j < py; j++) {
        for (int i = 0; i < px; i++) {
            double sum[3] = {0};
            int n = 0;
            for (int b = (int)(j * cells_y); b < (int)((j + 1) * cells_y); b++) {
                for (int a = (int)(i * cells_x); a < (int)((i + 1) * cells_x); a++, n++) {
                    const uint8_t *p = member->rgb + 3 * ((size_t)b * (size_t)member->nx + (size_t)a);
                    for (int c = 0; c < 3; c++) {
                        sum[c] += thaw_colour_decode(p[c] / 255.0);
                    }
                }
            }
            double linear[3], xyz[3], one[3];
            for (int c = 0; c < 3; c++) {
                linear[c] = sum[c] / n;
            }
            thaw_colour_xyz(linear, xyz);
            thaw_colour_lab(xyz, one);
            for (int c = 0; c < 3; c++) {
                lab[3 * ((size_t)j * (size_t)px + (size_t)i) + (size_t)c] = (float)one[c];
            }
        }
    }
}

/* Mean CIE 1976 colour difference. */
static double distance(const float *a, const float *b, size_t n_patches)
{
    double sum = 0.0;
    for (size_t k = 0; k < n_patches; k++) {
        const double dl = a[3 * k] - b[3 * k], da = a[3 * k + 1] - b[3 * k + 1], db = a[3 * k + 2] - b[3 * k + 2];
        sum += sqrt(dl * dl + da * da + db * db);
    }
    return sum / (double)n_patches;
}

typedef struct ranked {
    double far;
    int member;
} ranked;

static int by_distance(const void *a, const void *b)
{
    const ranked *x = a, *y = b;
    return x->far != y->far ? (x->far > y->far) - (x->far < y->far) : x->member - y->member;
}

/* live: indices of the members that came through. */
static thaw_status find_typical(const thaw_member *members, const int *live, int n_live, thaw_set_summary *s,
                                thaw_error *err)
{
    const thaw_member *first = &members[live[0]];
    const int px = first->nx * first->cell_m > PATCH_M ? (int)(first->nx * first->cell_m / PATCH_M) : 1;
    const int py = first->ny * first->cell_m > PATCH_M ? (int)(first->ny * first->cell_m / PATCH_M) : 1;
    const int wide = px < first->nx ? px : first->nx, high = py < first->ny ? py : first->ny;
    const size_t n_patches = (size_t)wide * (size_t)high;
    float *lab = thaw_allocate(3 * n_patches * (size_t)n_live, sizeof *lab, err);
    double *apart = thaw_allocate((size_t)n_live * (size_t)n_live, sizeof *apart, err);
    ranked *rank = thaw_allocate((size_t)n_live, sizeof *rank, err);
    thaw_status status = lab && apart && rank ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        int best = 0;
        double least = INFINITY;
        for (int i = 0; i < n_live; i++) {
            fill_patches(&members[live[i]], wide, high, lab + 3 * n_patches * (size_t)i);
            for (int j = 0; j < i; j++) {
                const double d = distance(lab + 3 * n_patches * (size_t)i, lab + 3 * n_patches * (size_t)j, n_patches);
                apart[i * n_live + j] = apart[j * n_live + i] = d;
            }
        }
        for (int i = 0; i < n_live; i++) {
            double sum = 0.0;
            for (int j = 0; j < n_live; j++) {
                sum += apart[i * n_live + j];
            }
            best = sum < least ? i : best;
            least = fmin(least, sum);
        }
        int n = 0;
        for (int i = 0; i < n_live; i++) {
            if (i != best) {
                rank[n++] = (ranked){apart[best * n_live + i], live[i]};
            }
        }
        qsort(rank, (size_t)n, sizeof *rank, by_distance);
        s->typical = live[best];
        s->n_others = n < THAW_SET_OTHERS ? n : THAW_SET_OTHERS;
        for (int o = 0; o < s->n_others; o++) {
            s->others[o] = rank[s->n_others > 1 ? o * (n - 1) / (s->n_others - 1) : 0].member;
        }
    }
    thaw_release(rank);
    thaw_release(apart);
    thaw_release(lab);
    return status;
}

static thaw_status fill_maps(const thaw_member *members, const int *live, int n_live, thaw_set_summary *s, thaw_error *err)
{
    const size_t n = (size_t)s->nx * (size_t)s->ny;
    s->white = thaw_allocate(n, sizeof *s->white, err);
    bool is_whole = s->white != NULL;
    for (int c = 0; c < s->n_colours; c++) {
        s->lead[c] = thaw_allocate(n, sizeof *s->lead[c], err);
        is_whole = is_whole && s->lead[c];
    }
    if (!is_whole) {
        return THAW_ERR_MEMORY;
    }
    const float one = 1.0f / (float)n_live;
    for (int i = 0; i < n_live; i++) {
        const uint8_t *lead = members[live[i]].lead;
        for (size_t k = 0; k < n; k++) {
            float *map = lead[k] < s->n_colours ? s->lead[lead[k]] : s->white;
            map[k] += one;
        }
    }
    return THAW_OK;
}

static void fill_quantiles(const thaw_member *members, const int *live, int n_live, double *values, thaw_set_summary *s)
{
    static const double p[3] = {0.1, 0.5, 0.9};
    for (int h = 0; h < thaw_headline_count(); h++) {
        for (int q = 0; q < 3; q++) {
            for (int i = 0; i < n_live; i++) {
                values[i] = members[live[i]].numbers[h];
            }
            s->quantiles[h][q] = thaw_quantile(values, n_live, p[q]);
        }
    }
}

thaw_status thaw_set_summarise(const thaw_specification *spec, const thaw_member *members, int n,
                               thaw_set_summary *out, thaw_error *err)
{
    const thaw_colour *colours[THAW_MAX_DYE_ZONES];
    thaw_set_summary s = {.n_colours = thaw_set_colours(spec, colours)};
    int *live = thaw_allocate((size_t)n, sizeof *live, err);
    double *values = thaw_allocate((size_t)n, sizeof *values, err);
    thaw_status status = live && values ? THAW_OK : THAW_ERR_MEMORY;
    for (int m = 0; status == THAW_OK && m < n; m++) {
        if (members[m].came_through) {
            live[s.n_came_through++] = m;
        }
    }
    if (status == THAW_OK && s.n_came_through < 2) {
        status = thaw_fail(err, THAW_ERR_UNPHYSICAL, "only %d of %d chances came through", s.n_came_through, n);
    }
    for (int i = 1; status == THAW_OK && i < s.n_came_through; i++) {
        const thaw_member *a = &members[live[0]], *b = &members[live[i]];
        if (a->nx != b->nx || a->ny != b->ny || a->cell_m != b->cell_m) {
            status = thaw_fail(err, THAW_ERR_FILE, "chances %d and %d are not of one cloth", live[0] + 1, live[i] + 1);
        }
    }
    if (status == THAW_OK) {
        s.nx = members[live[0]].nx;
        s.ny = members[live[0]].ny;
        s.cell_m = members[live[0]].cell_m;
        fill_quantiles(members, live, s.n_came_through, values, &s);
        status = find_typical(members, live, s.n_came_through, &s, err);
    }
    if (status == THAW_OK) {
        status = fill_maps(members, live, s.n_came_through, &s, err);
    }
    thaw_release(values);
    thaw_release(live);
    if (status != THAW_OK) {
        thaw_set_summary_release(&s);
        return status;
    }
    *out = s;
    return THAW_OK;
}

void thaw_set_summary_release(thaw_set_summary *summary)
{
    thaw_release(summary->white);
    summary->white = NULL;
    for (int c = 0; c < summary->n_colours; c++) {
        thaw_release(summary->lead[c]);
        summary->lead[c] = NULL;
    }
}
