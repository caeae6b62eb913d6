/* The chain of a strip test: read, fit, say how sure; then the files. */
#include "thawprint/strip.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/picture_file.h"
#include "api/read_file.h"
#include "api/strip_file.h"
#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "base/file.h"
#include "base/quantity.h"
#include "base/words.h"
#include "data/cloths.h"
#include "data/water.h"
#include "output/strip_json.h"
#include "output/strip_sheet.h"
#include "scenario/own_measured.h"
#include "scenario/shelf.h"
#include "scenario/strip_readings.h"
#include "study/strip_range.h"
#include "thawprint/shelf.h"
#include "thawprint/version.h"

#define LAMBDA      0.7            /* heights alone do not tell it: docs/cloths.md */
#define USUAL_K     293.15
#define BEYOND      0.1            /* of chance outside the ranges that are shown, */
#define BEYOND_FILE 0.2            /* and outside P10 to P90, which the spreads of a cloth are */
#define MOST_NAMES  128
#define CLOTH_TEXT  4096
#define SPEED_LEAST_M_S 1e-7
#define SPEED_MOST_M_S  0.1
#define HEAD_LEAST_M    5e-4
#define HEAD_MOST_M     1.0

struct thaw_strip {
    thaw_strip_figures figures;
    thaw_strip_readings readings;
    double fit_m[THAW_STRIP_MOST]; /* at each reading */
    thaw_strip_curve curve;
    thaw_strip_cloth cold;         /* the cloth in water as cold as that of the test */
    thaw_shelf *shelf;             /* own: where `like` may be */
    const thaw_cloth_kind *like;   /* NULL: none */
    bool along_weft;
    thaw_measured_cloth measured;
    bool is_held;                  /* measured is not what the readings ask for but the nearest that a file may say */
    char name[THAW_OWN_NAME], file[256];
};

static thaw_status read_water(const char *text, thaw_strip_figures *f, thaw_error *err)
{
    thaw_units *units = NULL;
    char why[240];
    f->water_k = USUAL_K;
    f->water_given = text != NULL;
    if (!text) {
        return THAW_OK;
    }
    thaw_status status = thaw_units_create(&units, err);
    if (status == THAW_OK && !thaw_quantity_parse(units, THAW_TEMPERATURE, text, &f->water_k, why, sizeof why)) {
        status = thaw_fail(err, THAW_ERR_ARGUMENT, "--water: %s", why);
    }
    thaw_units_destroy(units);
    if (status == THAW_OK && !(f->water_k >= 274.15 - 1e-9 && f->water_k <= 333.15 + 1e-9)) {
        status = thaw_fail(err, THAW_ERR_ARGUMENT, "--water `%.40s`: allowed are 1 degC to 60 degC", text);
    }
    return status;
}

static thaw_status find_cloth(const thaw_strip_options *options, thaw_strip *s, thaw_error *err)
{
    const char *names[MOST_NAMES];
    char usual[THAW_OWN_NAME + 8];
    thaw_status status = thaw_shelf_create(&s->shelf, err);
    if (status == THAW_OK && options->cloths) {
        status = thaw_shelf_add_file(s->shelf, options->cloths, err);
    }
    if (status != THAW_OK || !options->cloth) {
        return status;
    }
    s->like = thaw_shelf_find_cloth(s->shelf, options->cloth);
    if (!s->like) {
        const char *near = thaw_words_nearest(options->cloth, names, thaw_shelf_cloth_names(s->shelf, names, MOST_NAMES));
        return thaw_fail(err, THAW_ERR_ARGUMENT, "--cloth `%.60s` is not known%s%s%s; see `thawprint list cloths`", options->cloth,
                         near ? "; did you mean `" : "", near ? near : "", near ? "`?" : "");
    }
    snprintf(usual, sizeof usual, "my %s", s->like->name);
    status = thaw_measured_check_name(options->name ? options->name : usual, err);
    if (status == THAW_OK) {
        snprintf(s->name, sizeof s->name, "%.*s", THAW_OWN_NAME - 1, options->name ? options->name : usual);
        s->figures.name = s->name;
        s->figures.like = s->like->name;
    }
    return status;
}

static thaw_strip_value scaled(double value, const thaw_strip_range *range, double by)
{
    return (thaw_strip_value){value * by, range->low * by, range->high * by};
}

static void find_scatter(thaw_strip *s)
{
    thaw_strip_figures *f = &s->figures;
    double squares = 0.0, shares = 0.0;
    for (int i = 0; i < s->readings.n; i++) {
        const double off = s->readings.height_m[i] - s->fit_m[i], share = off / s->fit_m[i];
        squares += off * off;
        shares += share * share;
        if (i == 0 || fabs(share) > fabs(f->worst_share)) {
            f->worst = i;
            f->worst_share = share;
            f->worst_t_s = s->readings.t_s[i];
        }
        f->last_t_s = fmax(f->last_t_s, s->readings.t_s[i]);
    }
    f->rms_m = sqrt(squares / s->readings.n);
    f->rms_share = sqrt(shares / s->readings.n);
}

/* K_s / phi and h_e of the strip to the figures of a cloth: along the warp, at 20 C. */
static void measure_cloth(thaw_strip *s, const thaw_strip_ranges *file_ranges)
{
    thaw_strip_figures *f = &s->figures;
    const double by = s->like->pore_m / s->like->thickness_m / (s->along_weft ? s->like->weft_ratio : 1.0);
    const double speed = s->cold.speed_m_s, head = s->cold.head_m;
    f->conductivity_m_s = (thaw_strip_value){by * f->speed_m_s.value, by * f->speed_m_s.low, by * f->speed_m_s.high};
    f->before_m_s = s->like->conductivity_m_s;
    f->before_head_m = s->like->entry_head_m;
    s->measured = (thaw_measured_cloth){
        .conductivity_m_s = f->conductivity_m_s.value,
        .conductivity_spread = fmax(file_ranges->speed_m_s.high / speed, speed / file_ranges->speed_m_s.low),
        .entry_head_m = f->head_m.value,
        .entry_low = file_ranges->head_m.low / head,
        .entry_high = file_ranges->head_m.high / head,
    };
    s->is_held = !thaw_measured_fit(&s->measured, s->like);
}

static thaw_status check_sense(const thaw_strip_figures *f, thaw_error *err)
{
    const double k = f->speed_m_s.value, h = f->head_m.value;
    if (k >= SPEED_LEAST_M_S && k <= SPEED_MOST_M_S && h >= HEAD_LEAST_M && h <= HEAD_MOST_M) {
        return THAW_OK;
    }
    return thaw_fail(err, THAW_ERR_SCENARIO,
                     "no cloth rises like this: the readings ask for K_s / porosity of %.3g mm/s and an entry head of %.3g mm\n"
                     "    look at the units in the heading, and at heights that do not grow", 1e3 * k, 1e3 * h);
}

/* What washed cloth that dyes shows after 1 and 10 min: the table has 20 to 41 and 48 to 95 mm, measured knits 41 to 56
 * and 79 to 130; half and twice that is still let pass. */
#define USUAL_1_LEAST_M  0.010
#define USUAL_1_MOST_M   0.110
#define USUAL_10_LEAST_M 0.024
#define USUAL_10_MOST_M  0.260

/* Would it be usual, were heights and times so many times what was read? */
static bool is_usual(const thaw_strip *s, double height_times, double time_times)
{
    const double after_1_m = height_times * thaw_strip_height_m(s, 60.0 / time_times),
                 after_10_m = height_times * thaw_strip_height_m(s, 600.0 / time_times);
    return after_1_m >= USUAL_1_LEAST_M && after_1_m <= USUAL_1_MOST_M && after_10_m >= USUAL_10_LEAST_M && after_10_m <= USUAL_10_MOST_M;
}

/* Cloth that rises as none does is asked about: mostly it is the units. */
static void ask(thaw_strip *s)
{
    static const struct slip {
        double height_times, time_times;
        const char *what;
    } slips[] = {{10.0, 1.0, "are the heights in cm"},        {0.1, 1.0, "are the heights in mm"},
                 {25.4, 1.0, "are the heights in inches"},    {1.0 / 25.4, 1.0, "are the heights in mm"},
                 {2.54, 1.0, "are the heights in inches"},    {1.0 / 2.54, 1.0, "are the heights in cm"},
                 {1.0, 60.0, "are the times in minutes"},     {1.0, 1.0 / 60.0, "are the times in seconds"}};
    enum { N_SLIPS = sizeof slips / sizeof *slips };
    const char *what = "was a finish left in the cloth, or was it wet";
    if (is_usual(s, 1.0, 1.0)) {
        return;
    }
    /* nobody sits there for hours, nor reads five heights in a minute: then times are looked at first */
    const bool is_odd_time = s->figures.last_t_s > 7200.0 || s->figures.last_t_s < 60.0;
    bool is_found = false;
    for (size_t k = 0; k < 2 * N_SLIPS && !is_found; k++) {
        const struct slip *slip = &slips[k % N_SLIPS];
        const bool is_turn = (slip->time_times != 1.0) == (is_odd_time == (k < N_SLIPS));
        is_found = is_turn && is_usual(s, slip->height_times, slip->time_times);
        what = is_found ? slip->what : what;
    }
    snprintf(s->figures.question, sizeof s->figures.question,
             "water would stand at %.3g mm after 1 min and %.3g mm after 10 min, but in washed cloth 20 to 60 and 50 to 130 mm are usual: %s?",
             1e3 * thaw_strip_height_m(s, 60.0), 1e3 * thaw_strip_height_m(s, 600.0), what);
}

static thaw_status fit(thaw_strip *s, const char *path, thaw_error *err)
{
    thaw_strip_reading readings[THAW_STRIP_MOST];
    thaw_strip_estimate estimate;
    thaw_strip_ranges ranges, file_ranges;
    thaw_strip_figures *f = &s->figures;
    thaw_error why = {0};
    const size_t n = (size_t)s->readings.n;
    for (size_t i = 0; i < n; i++) {
        readings[i] = (thaw_strip_reading){s->readings.t_s[i], s->readings.height_m[i], thaw_strip_doubt(s->readings.height_m[i])};
    }
    const int threads = thaw_crew_set_threads(1); /* 240 cells: more only wait for each other */
    thaw_status status = thaw_strip_curve_compute(s->like ? s->like->lambda : LAMBDA, &s->curve, err);
    thaw_crew_set_threads(threads);
    if (status != THAW_OK) {
        return status;
    }
    status = thaw_strip_fit(&s->curve, n, readings, &estimate, &why);
    if (status != THAW_OK) {
        return thaw_fail(err, status, "%s: %s", path, why.text);
    }
    s->cold = estimate.cloth;
    thaw_strip_range_find(&s->curve, n, readings, &estimate, BEYOND, &ranges);
    thaw_strip_range_find(&s->curve, n, readings, &estimate, BEYOND_FILE, &file_ranges);
    f->n_readings = (int)n;
    f->speed_m_s = scaled(estimate.cloth.speed_m_s, &ranges.speed_m_s, 1.0 / thaw_water_mobility_ratio(f->water_k));
    f->head_m = scaled(estimate.cloth.head_m, &ranges.head_m, 1.0 / thaw_water_suction_ratio(f->water_k));
    for (size_t i = 0; i < n; i++) {
        s->fit_m[i] = thaw_strip_height_m(s, s->readings.t_s[i]);
    }
    find_scatter(s);
    if (s->like) {
        measure_cloth(s, &file_ranges);
    }
    ask(s);
    status = check_sense(f, &why);
    return status == THAW_OK ? THAW_OK : thaw_fail(err, status, "%s: %s", path, why.text);
}

thaw_status thaw_strip_run(const char *path, const thaw_strip_options *options, thaw_strip **out, thaw_error *err)
{
    char *text = NULL;
    size_t n = 0;
    thaw_strip *s = thaw_allocate(1, sizeof *s, err);
    thaw_status status = s ? read_water(options->water, &s->figures, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        s->along_weft = options->along_weft;
        status = find_cloth(options, s, err);
    }
    if (status == THAW_OK) {
        status = thaw_scenario_read_file(path, "readings", &text, &n, err);
    }
    if (status == THAW_OK) {
        const char *slash = strrchr(path, '/');
        snprintf(s->file, sizeof s->file, "%s", slash ? slash + 1 : path);
        status = thaw_strip_readings_parse(text, n, path, &s->readings, err);
    }
    thaw_release(text);
    if (status == THAW_OK) {
        status = fit(s, path, err);
    }
    if (status == THAW_OK) {
        *out = s;
    } else {
        thaw_strip_destroy(s);
    }
    return status;
}

void thaw_strip_destroy(thaw_strip *strip)
{
    if (strip) {
        thaw_shelf_destroy(strip->shelf);
        thaw_release(strip);
    }
}

const thaw_strip_figures *thaw_strip_get_figures(const thaw_strip *strip)
{
    return &strip->figures;
}

double thaw_strip_height_m(const thaw_strip *strip, double t_s)
{
    double slope;
    return t_s > 0.0 ? thaw_strip_height(&strip->curve, log(strip->cold.speed_m_s), log(strip->cold.head_m), t_s, &slope) : 0.0;
}

thaw_status thaw_strip_json(const thaw_strip *strip, char **out, thaw_error *err)
{
    return thaw_strip_json_text(&strip->figures, strip->readings.t_s, strip->readings.height_m, strip->fit_m, thaw_version(), out,
                                err);
}

/* What the cloth that it is like would have shown in the same water. */
static double before_m(const thaw_strip *s, double t_s)
{
    const double phi = s->like->pore_m / s->like->thickness_m, along = s->along_weft ? s->like->weft_ratio : 1.0;
    const double speed = s->like->conductivity_m_s / phi * along * thaw_water_mobility_ratio(s->figures.water_k);
    double slope;
    return t_s > 0.0 ? thaw_strip_height(&s->curve, log(speed), log(s->like->entry_head_m * thaw_water_suction_ratio(s->figures.water_k)),
                                         t_s, &slope)
                     : 0.0;
}

static void range_text(const thaw_strip_value *v, double per_unit, char *out, size_t size)
{
    if (v->low > 0.0 && isfinite(v->high)) {
        snprintf(out, size, "%.3g to %.3g", v->low / per_unit, v->high / per_unit);
    } else if (v->low > 0.0) {
        snprintf(out, size, "%.3g or more", v->low / per_unit);
    } else {
        snprintf(out, size, isfinite(v->high) ? "up to %.3g" : "open", v->high / per_unit);
    }
}

static thaw_status draw(const thaw_strip *s, thaw_image *out, thaw_error *err)
{
    const thaw_strip_figures *f = &s->figures;
    char title[300], speed[240], head[160], readings[160], range[64];
    snprintf(title, sizeof title, "Strip test: %s", s->like ? s->name : s->file);
    range_text(&f->speed_m_s, 1e-3, range, sizeof range);
    snprintf(speed, sizeof speed, "K_s / porosity %.3g mm/s (%s) at 20 °C", 1e3 * f->speed_m_s.value, range);
    range_text(&f->head_m, 1e-3, range, sizeof range);
    snprintf(head, sizeof head, "entry head %.3g mm (%s) at 20 °C; in brackets: nine times out of ten", 1e3 * f->head_m.value, range);
    snprintf(readings, sizeof readings, "%d readings of %.120s", f->n_readings, s->file);
    thaw_strip_picture p = {.title = title, .lines = {speed, head, readings}, .n = f->n_readings, .t_s = s->readings.t_s,
                            .height_m = s->readings.height_m, .end_s = 1.08 * f->last_t_s,
                            .before_name = s->like ? s->like->name : NULL};
    for (int i = 0; i < THAW_STRIP_LINE; i++) {
        const double t_s = thaw_strip_line_s(p.end_s, i);
        p.fit_m[i] = thaw_strip_height_m(s, t_s);
        p.before_m[i] = s->like ? before_m(s, t_s) : 0.0;
    }
    return thaw_strip_sheet(&p, out, err);
}

static thaw_status add_picture(const thaw_strip *s, thaw_batch *batch, thaw_error *err)
{
    const thaw_picture_words words = {"Strip test", "readings of a wicking strip test and the rise fitted to them", NULL, 0};
    thaw_image image = {0};
    thaw_status status = draw(s, &image, err);
    if (status == THAW_OK) {
        status = thaw_picture_add(batch, "strip.png", &image, &words, err);
    }
    thaw_release(image.rgb);
    return status;
}

static thaw_status cloth_text(const thaw_strip *s, char text[CLOTH_TEXT], size_t *n, thaw_error *err)
{
    const thaw_strip_figures *f = &s->figures;
    char range[64];
    thaw_writer w = {text, CLOTH_TEXT, 0};
    range_text(&f->conductivity_m_s, 1e-3, range, sizeof range);
    thaw_writer_add(&w, THAW_STRIP_HEAD " along the %s, %d readings, water of %.4g degC; written by thawprint %s.\n",
                    s->along_weft ? "weft" : "warp", f->n_readings, f->water_k - 273.15, THAW_VERSION);
    thaw_writer_add(&w, "# Nine times out of ten conductivity lies at %s mm/s", range);
    range_text(&f->head_m, 1e-3, range, sizeof range);
    thaw_writer_add(&w, " and entry-head at %s mm.\n", range);
    if (f->question[0]) {
        thaw_writer_add(&w, "# NOT USUAL: %s\n", f->question);
    }
    if (s->is_held) {
        thaw_writer_add(&w, "# Below is the nearest that a file may say: the readings ask for conductivity %.3g mm/s and entry-head %.3g mm.\n",
                        1e3 * f->conductivity_m_s.value, 1e3 * f->head_m.value);
    }
    thaw_writer_add(&w, "# Weigh and measure your cloth, and say `mass` and `thickness` here too, if it is not quite %s.\n",
                    s->like->name);
    thaw_measured_write(&w, s->name, s->like, thaw_shelf_own_cloth(s->shelf, s->like) != NULL, &s->measured);
    if (w.used < w.size) {
        thaw_writer_add(&w, THAW_STRIP_SUM "%08" PRIx32 ": while nothing here is changed, strip writes this cloth anew into this file.\n",
                        thaw_strip_sum(text, w.used));
    }
    *n = w.used;
    return w.used < w.size ? THAW_OK : thaw_fail(err, THAW_ERR_MEMORY, "the file of the cloth is too long");
}

thaw_status thaw_strip_cloth_file(const thaw_strip *strip, const char *dir, char out[THAW_STRIP_FILE], thaw_error *err)
{
    if (!strip->like) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "no cloth was named, so none is written");
    }
    return thaw_strip_choose_file(dir, strip->name, out, err);
}

static thaw_status add_cloth(const thaw_strip *s, const char *dir, thaw_batch *batch, thaw_error *err)
{
    char text[CLOTH_TEXT], name[THAW_STRIP_FILE];
    size_t n = 0;
    thaw_status status = cloth_text(s, text, &n, err);
    if (status == THAW_OK) {
        status = thaw_strip_choose_file(dir, s->name, name, err);
    }
    return status == THAW_OK ? thaw_batch_add(batch, name, text, n, err) : status;
}

thaw_status thaw_strip_write(const thaw_strip *strip, const char *dir, thaw_error *err)
{
    thaw_batch *batch = NULL;
    char *json = NULL;
    thaw_status status = thaw_strip_json(strip, &json, err);
    if (status == THAW_OK) {
        status = thaw_batch_create(dir, &batch, err);
    }
    if (status == THAW_OK) {
        status = add_picture(strip, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "strip.json", json, strlen(json), err);
    }
    if (status == THAW_OK && strip->like) {
        status = add_cloth(strip, dir, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    thaw_release(json);
    return status;
}
