/* From a scenario, or the folder of its run, to the page; and back from a page to the scenario. */
#include "thawprint/notebook.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/chances_set.h"
#include "api/notebook_sources.h"
#include "api/notebook_tables.h"
#include "api/preview_film.h"
#include "api/supplies_list.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "output/figures_read.h"
#include "output/page.h"
#include "thawprint/chances.h"
#include "thawprint/version.h"

#define SCENARIO_FILE "scenario.yaml"
#define PAGE_MOST ((size_t)256 << 20)

struct thaw_notebook {
    unsigned char *html, *film, *strip; /* own; film and strip NULL where they were not made now */
    size_t n_html, n_film, n_strip;
    bool was_run;
    int n_frames;
    char *json;                    /* own */
    thaw_preview_figures figures;
    thaw_figures_names names;
};

/* Everything a page is made from, while it is. */
typedef struct workshop {
    const thaw_scenario *scenario;
    const thaw_notebook_options *options;
    thaw_notebook_sources sources; /* own */
    thaw_notebook *notebook;
    thaw_page page;                /* own its pictures */
    thaw_page_table materials, timetable;
    thaw_supplies_figures supplies;
    thaw_page_point *points;       /* own */
    char *resolved;                /* own */
    char cloth[160], digest[17], seed[24];
} workshop;

/* ---- running ---- */

static thaw_status run_chances(workshop *w, thaw_chances **chances, thaw_error *err)
{
    const thaw_notebook_options *o = w->options;
    const thaw_chances_options set = {.n = o->chances, .only_luck = o->only_luck, .threads = o->threads,
                                      .progress = o->progress, .user = o->user};
    int n_run = 0;
    thaw_status status = thaw_chances_run(w->scenario, &set, o->scratch, &n_run, err);
    return status == THAW_OK ? thaw_chances_gather(w->scenario, &set, o->scratch, chances, err) : status;
}

static thaw_status take_chances(workshop *w, const thaw_chances *chances, thaw_error *err)
{
    static const thaw_page_slot slots[] = {THAW_PAGE_TYPICAL, THAW_PAGE_OTHERS, THAW_PAGE_WHITE, THAW_PAGE_COLOURS};
    thaw_status status = THAW_OK;
    for (int i = 0; status == THAW_OK && i < 4; i++) {
        status = thaw_chances_draw(chances, i, &w->sources.images[slots[i]], err);
    }
    w->sources.n_chances = thaw_chances_get_figures(chances)->n_came_through;
    return status;
}

/* The chances' own files in the scratch folder. */
static thaw_status clear_scratch(workshop *w, const thaw_chances *chances, thaw_error *err)
{
    char path[4096 + 80];
    thaw_status status = thaw_chances_remove_members(chances, err);
    snprintf(path, sizeof path, "%s/" SCENARIO_FILE, w->options->scratch);
    if (status == THAW_OK) {
        status = thaw_file_remove(path, err);
    }
    for (int i = 0; status == THAW_OK && i < w->scenario->pictures->n; i++) {
        snprintf(path, sizeof path, "%s/%s", w->options->scratch, w->scenario->pictures->files[i].name);
        status = thaw_file_remove(path, err);
    }
    return status == THAW_OK ? thaw_file_remove(w->options->scratch, err) : status;
}

/* Pictures and frames move over from the preview. */
static thaw_status take_preview(workshop *w, thaw_preview *p, thaw_error *err)
{
    static const thaw_page_slot slots[THAW_PICTURES] = {THAW_PAGE_DRY, THAW_PAGE_WET, THAW_PAGE_BUNDLE, THAW_PAGE_FOLD};
    thaw_notebook *book = w->notebook;
    thaw_status status = thaw_preview_json(p, &w->sources.json, err);
    if (status == THAW_OK && p->n_frames > 0) {
        status = thaw_preview_film_webp(p, &book->film, &book->n_film, err);
    }
    if (status == THAW_OK && p->n_frames > 0) {
        status = thaw_preview_film_png(p, &book->strip, &book->n_strip, err);
    }
    if (status != THAW_OK) {
        return status;
    }
    for (int i = 0; i < THAW_PICTURES; i++) {
        w->sources.images[slots[i]] = p->images[i];
        p->images[i] = (thaw_image){0};
    }
    memcpy(w->sources.frames, p->frames, sizeof p->frames);
    w->sources.n_frames = p->n_frames;
    p->n_frames = 0;
    w->sources.curve = p->curve;
    p->curve = NULL;
    return THAW_OK;
}

static thaw_status run(workshop *w, thaw_error *err)
{
    const thaw_notebook_options *o = w->options;
    const thaw_preview_options asked = {.threads = o->threads, .progress = o->progress, .user = o->user,
                                        .without_ranges = o->without_ranges || o->chances > 0,
                                        .frames = o->frames == THAW_NOTEBOOK_AS_FOUND ? THAW_NOTEBOOK_FRAMES : o->frames};
    thaw_preview *preview = NULL;
    thaw_chances *chances = NULL;
    w->notebook->was_run = true;
    thaw_status status = o->chances > 0 ? run_chances(w, &chances, err) : THAW_OK;
    if (status == THAW_OK) {
        status = thaw_preview_run(w->scenario, &asked, &preview, err);
    }
    if (status == THAW_OK && chances) {
        thaw_chances_set_ranges(chances, preview);
        status = take_chances(w, chances, err);
    }
    if (status == THAW_OK) {
        status = take_preview(w, preview, err);
    }
    if (status == THAW_OK && chances) {
        status = clear_scratch(w, chances, err);
    }
    thaw_preview_destroy(preview);
    thaw_chances_destroy(chances);
    return status;
}

/* ---- the page ---- */

/* time_h,ice_left_kg,... under a line of names. */
static thaw_status read_curve(workshop *w, thaw_error *err)
{
    const char *csv = w->sources.curve;
    size_t lines = 2;
    for (const char *at = csv; *at; at++) {
        lines += *at == '\n';
    }
    w->points = thaw_allocate(lines, sizeof *w->points, err);
    if (!w->points) {
        return THAW_ERR_MEMORY;
    }
    int n = 1; /* room for the start */
    for (const char *at = strchr(csv, '\n'); at && at[1]; at = strchr(at + 1, '\n')) {
        if (sscanf(at + 1, "%lf,%lf", &w->points[n].time_h, &w->points[n].ice_kg) == 2) {
            n++;
        }
    }
    if (n > 1) {
        w->points[0] = (thaw_page_point){0.0, w->points[1].ice_kg};
    }
    w->page.n_points = n > 1 ? n : 0;
    w->page.points = w->points;
    return THAW_OK;
}

static void add_files(workshop *w)
{
    thaw_page *p = &w->page;
    const thaw_pictures *pictures = w->scenario->pictures;
    p->files[p->n_files++] = (thaw_page_file){SCENARIO_FILE, w->resolved, strlen(w->resolved)};
    for (int i = 0; i < pictures->n; i++) {
        p->files[p->n_files++] = (thaw_page_file){pictures->files[i].name, pictures->files[i].bytes, pictures->files[i].n};
    }
}

static bool has_ranges(const thaw_preview_figures *f)
{
    return !isnan(f->melt_all_range_s[0]) || !isnan(f->white_range[0]) || !isnan(f->grain_weft_range_m[0]);
}

static void fill_texts(workshop *w)
{
    const thaw_specification *spec = &w->scenario->spec;
    thaw_page *p = &w->page;
    thaw_scenario_digest(w->scenario, w->digest);
    snprintf(w->seed, sizeof w->seed, "%llu", (unsigned long long)spec->seed);
    snprintf(w->cloth, sizeof w->cloth, "%.60s, %.0f \xc3\x97 %.0f cm", spec->cloth->name, 100.0 * spec->width_m, 100.0 * spec->length_m);
    p->title = spec->title;
    p->date = w->options->date ? w->options->date : "";
    p->digest = w->digest;
    p->seed = w->seed;
    p->version = thaw_version();
    p->detail = thaw_detail_word(spec->detail);
    p->cloth = w->cloth;
}

static size_t bytes_of_the_rest(const workshop *w)
{
    size_t sum = 2 * strlen(w->resolved) + (64 << 10);
    for (int i = 0; i < w->page.n_frames; i++) {
        sum += w->page.frames[i].picture.n;
    }
    for (int i = 0; i < w->page.n_files; i++) {
        sum += w->page.files[i].n;
    }
    return sum;
}

static thaw_status fill_page(workshop *w, thaw_error *err)
{
    thaw_page *p = &w->page;
    thaw_notebook *book = w->notebook;
    thaw_figures_origin origin;
    thaw_status status = thaw_figures_read(w->sources.json, strlen(w->sources.json), &book->figures, &book->names, &origin, err);
    if (status == THAW_OK) {
        status = thaw_scenario_resolved(w->scenario, &w->resolved, err);
    }
    if (status == THAW_OK) {
        status = read_curve(w, err);
    }
    if (status == THAW_OK) {
        status = thaw_supplies_list(w->scenario, &w->supplies, err);
    }
    if (status != THAW_OK) {
        return status;
    }
    fill_texts(w);
    add_files(w);
    p->figures = &book->figures;
    p->has_ranges = has_ranges(&book->figures);
    p->n_chances = w->sources.n_chances;
    p->n_frames = book->n_frames = w->sources.n_frames;
    memcpy(p->frames, w->sources.frames, sizeof p->frames);
    thaw_notebook_materials(w->scenario, &w->supplies, &w->materials);
    thaw_notebook_timetable(w->scenario, &book->figures, &w->supplies, &w->timetable);
    p->materials = &w->materials;
    p->timetable = &w->timetable;
    p->record = w->sources.has_record ? &w->sources.record : NULL;
    return thaw_notebook_pack(&w->sources, bytes_of_the_rest(w), p->pictures, err);
}

static thaw_status make(workshop *w, thaw_error *err)
{
    bool usable = false;
    thaw_status status = THAW_OK;
    if (w->options->folder) {
        status = thaw_notebook_read_run(w->scenario, w->options, &w->sources, &usable, err);
    }
    if (status == THAW_OK && w->options->folder) {
        status = thaw_notebook_read_record(w->options->folder, &w->sources, err);
    }
    if (status == THAW_OK && w->options->folder) {
        status = thaw_notebook_read_plans(w->scenario, w->options->folder, &w->sources, err);
    }
    if (status == THAW_OK && !usable) {
        status = run(w, err);
    }
    if (status == THAW_OK) {
        status = fill_page(w, err);
    }
    if (status == THAW_OK) {
        status = thaw_page_html(&w->page, &w->notebook->html, &w->notebook->n_html, err);
    }
    if (status == THAW_OK) {
        w->notebook->json = w->sources.json;
        w->sources.json = NULL;
    }
    return status;
}

thaw_status thaw_notebook_make(const thaw_scenario *scenario, const thaw_notebook_options *options, thaw_notebook **out,
                               thaw_error *err)
{
    workshop *w = thaw_allocate(1, sizeof *w, err);
    thaw_notebook *book = thaw_allocate(1, sizeof *book, err);
    thaw_status status = w && book ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        w->scenario = scenario;
        w->options = options;
        w->notebook = book;
        status = make(w, err);
    }
    if (w) {
        thaw_notebook_pictures_release(w->page.pictures);
        thaw_notebook_sources_release(&w->sources);
        thaw_release(w->points);
        thaw_release(w->resolved);
        thaw_release(w);
    }
    if (status == THAW_OK) {
        *out = book;
    } else {
        thaw_notebook_destroy(book);
    }
    return status;
}

void thaw_notebook_destroy(thaw_notebook *notebook)
{
    if (notebook) {
        thaw_release(notebook->html);
        thaw_release(notebook->film);
        thaw_release(notebook->strip);
        thaw_release(notebook->json);
        thaw_release(notebook);
    }
}

bool thaw_notebook_was_run(const thaw_notebook *notebook)
{
    return notebook->was_run;
}

int thaw_notebook_frame_count(const thaw_notebook *notebook)
{
    return notebook->n_frames;
}

size_t thaw_notebook_size(const thaw_notebook *notebook)
{
    return notebook->n_html;
}

const thaw_preview_figures *thaw_notebook_figures(const thaw_notebook *notebook)
{
    return &notebook->figures;
}

const char *thaw_notebook_json(const thaw_notebook *notebook)
{
    return notebook->json;
}

/* "my.html" -> "my-melt.webp" */
static void beside(const char *page, const char *ending, char *out, size_t size)
{
    const char *dot = strrchr(page, '.');
    const int stem = dot && dot > page ? (int)(dot - page) : (int)strlen(page);
    snprintf(out, size, "%.*s-melt%s", stem > 200 ? 200 : stem, page, ending);
}

thaw_status thaw_notebook_write(const thaw_notebook *notebook, const char *dir, const char *page, thaw_error *err)
{
    thaw_batch *batch = NULL;
    char name[256];
    thaw_status status = thaw_batch_create(dir, &batch, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, page, notebook->html, notebook->n_html, err);
    }
    if (status == THAW_OK && notebook->film) {
        beside(page, ".webp", name, sizeof name);
        status = thaw_batch_add(batch, name, notebook->film, notebook->n_film, err);
    }
    if (status == THAW_OK && notebook->strip) {
        beside(page, ".png", name, sizeof name);
        status = thaw_batch_add(batch, name, notebook->strip, notebook->n_strip, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    return status;
}

/* ---- back from a page ---- */

static thaw_status read_page(const char *page, char **html, size_t *n, thaw_error *err)
{
    bool whole = false;
    if (thaw_file_look(page) != THAW_FILE_REGULAR) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: there is no such page", page);
    }
    thaw_status status = thaw_file_read(page, PAGE_MOST, html, n, &whole, err);
    if (status == THAW_OK && !whole) {
        thaw_release(*html);
        *html = NULL;
        status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: is larger than any notebook page", page);
    }
    return status;
}

/* A page comes from anywhere: nothing that lies there already is touched. */
static thaw_status write_taken(const thaw_taken *taken, const char *dir, thaw_error *err)
{
    char path[4096 + 80];
    thaw_batch *batch = NULL;
    for (int i = 0; i < taken->n; i++) {
        snprintf(path, sizeof path, "%s/%s", dir, taken->files[i].name);
        if (thaw_file_look(path) != THAW_FILE_MISSING) {
            return thaw_fail(err, THAW_ERR_FILE, "%s: is there already; take the page out into another folder", path);
        }
    }
    thaw_status status = thaw_batch_create(dir, &batch, err);
    for (int i = 0; status == THAW_OK && i < taken->n; i++) {
        const thaw_bytes *content = &taken->files[i].content;
        status = thaw_batch_add(batch, taken->files[i].name, content->bytes, content->n, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    return status;
}

static void remove_taken(const thaw_taken *taken, const char *dir)
{
    char path[4096 + 80];
    for (int i = 0; i < taken->n; i++) {
        snprintf(path, sizeof path, "%s/%s", dir, taken->files[i].name);
        thaw_file_remove(path, NULL);
    }
}

static thaw_status check_taken(const thaw_taken *taken, const char *page, const char *dir, thaw_error *err)
{
    char path[4096 + 80], digest[17];
    thaw_scenario *scenario = NULL;
    snprintf(path, sizeof path, "%s/" SCENARIO_FILE, dir);
    thaw_status status = thaw_scenario_load(path, &scenario, err);
    if (status == THAW_OK) {
        thaw_scenario_digest(scenario, digest);
        if (strcmp(digest, taken->digest) != 0) {
            status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: its scenario has the digest %s, but the page states %s: one of them was changed",
                               page, digest, taken->digest[0] ? taken->digest : "none");
        }
    }
    thaw_scenario_destroy(scenario);
    return status;
}

thaw_status thaw_notebook_take_out(const char *page, const char *dir, thaw_error *err)
{
    char *html = NULL;
    size_t n = 0;
    thaw_error inside = {0};
    thaw_taken *taken = thaw_allocate(1, sizeof *taken, err);
    thaw_status status = taken ? read_page(page, &html, &n, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = thaw_page_take(html, n, taken, &inside);
        if (status == THAW_OK && strcmp(taken->files[0].name, SCENARIO_FILE) != 0) {
            status = thaw_fail(&inside, THAW_ERR_FILE, "is no notebook page: its first file is not " SCENARIO_FILE);
        }
        if (status != THAW_OK) {
            status = thaw_fail(err, status == THAW_ERR_FILE ? THAW_ERR_SCENARIO : status, "%s: %s", page, inside.text);
        }
    }
    if (status == THAW_OK) {
        status = write_taken(taken, dir, err);
    }
    if (status == THAW_OK) {
        status = check_taken(taken, page, dir, err);
        if (status == THAW_ERR_MEMORY) { /* so that the same can be tried again */
            remove_taken(taken, dir);
        }
    }
    if (taken) {
        thaw_taken_release(taken);
        thaw_release(taken);
    }
    thaw_release(html);
    return status;
}
