/* A folder that `preview` wrote, read back. */
#include <stdio.h>
#include <string.h>

#include "api/notebook_sources.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "base/picture.h"
#include "output/figures_read.h"
#include "output/film.h"
#include "output/record_json.h"
#include "thawprint/chances.h"
#include "thawprint/version.h"

#define TEXT_MOST ((size_t)16 << 20)
#define PICTURE_MOST ((size_t)256 << 20)
#define RECORD_MOST ((size_t)1 << 20)

/* Whose files are looked for. */
typedef struct folder {
    const char *dir;
    char digest[17], seed[24];
} folder;

void thaw_notebook_sources_release(thaw_notebook_sources *sources)
{
    for (int s = 0; s < THAW_PAGE_SLOTS; s++) {
        thaw_release(sources->images[s].rgb);
        sources->images[s] = (thaw_image){0};
    }
    for (int i = 0; i < sources->n_frames; i++) {
        thaw_release(sources->frames[i].picture.bytes);
    }
    thaw_release(sources->json);
    thaw_release(sources->curve);
    sources->json = sources->curve = NULL;
    sources->n_frames = sources->n_chances = 0;
}

/* *bytes stays NULL where there is no such file or it is too large. */
static thaw_status read(const char *dir, const char *name, size_t most, char **bytes, size_t *n, thaw_error *err)
{
    char path[4096 + 128];
    bool whole = false;
    *bytes = NULL;
    snprintf(path, sizeof path, "%s/%s", dir, name);
    if (thaw_file_look(path) != THAW_FILE_REGULAR) {
        return THAW_OK;
    }
    thaw_status status = thaw_file_read(path, most, bytes, n, &whole, err);
    if (status == THAW_OK && !whole) {
        thaw_release(*bytes);
        *bytes = NULL;
    }
    return status;
}

/* Does a PNG of ours carry the digest? The text stands in a tEXt chunk before the pixels. */
static bool carries(const char *bytes, size_t n, const char *digest)
{
    static const char key[] = "tEXtScenario digest";
    const size_t length = sizeof key; /* the key's NUL separates */
    for (size_t i = 8; n > length + 16 && i < n - length - 16 && i < 4096; i++) {
        if (memcmp(bytes + i, key, length) == 0) {
            return memcmp(bytes + i + length, digest, 16) == 0;
        }
    }
    return false;
}

/* Transparent places show white. */
static thaw_status to_image(const thaw_picture *picture, thaw_image *out, thaw_error *err)
{
    const size_t n = (size_t)picture->width * (size_t)picture->height;
    uint8_t *rgb = thaw_allocate(n, 3, err);
    if (!rgb) {
        return THAW_ERR_MEMORY;
    }
    for (size_t k = 0; k < n; k++) {
        const unsigned alpha = picture->rgba[4 * k + 3];
        for (size_t c = 0; c < 3; c++) {
            rgb[3 * k + c] = (uint8_t)((picture->rgba[4 * k + c] * alpha + 255u * (255u - alpha) + 127u) / 255u);
        }
    }
    *out = (thaw_image){picture->width, picture->height, 1e-3, rgb};
    return THAW_OK;
}

/* A picture; digest NULL: of anybody. No pixels where it is missing, another's or broken. */
static thaw_status read_picture(const char *dir, const char *name, const char *digest, thaw_image *out, thaw_error *err)
{
    char *bytes = NULL;
    size_t n = 0;
    thaw_picture picture = {0};
    thaw_error broken = {0};
    thaw_status status = read(dir, name, PICTURE_MOST, &bytes, &n, err);
    if (status != THAW_OK || !bytes || (digest && !carries(bytes, n, digest))) {
        thaw_release(bytes);
        return status;
    }
    status = thaw_picture_decode(bytes, n, &picture, &broken);
    thaw_release(bytes);
    if (status == THAW_OK) {
        status = to_image(&picture, out, err);
    } else {
        status = status == THAW_ERR_MEMORY ? thaw_fail(err, status, "%s", broken.text) : THAW_OK;
    }
    thaw_release(picture.rgba);
    return status;
}

static thaw_status read_pictures(const folder *f, thaw_notebook_sources *s, bool *whole, thaw_error *err)
{
    static const thaw_page_slot slots[] = {THAW_PAGE_DRY, THAW_PAGE_WET, THAW_PAGE_BUNDLE, THAW_PAGE_FOLD};
    for (int i = 0; i < 4; i++) {
        thaw_status status = read_picture(f->dir, thaw_preview_file_name(i), f->digest, &s->images[slots[i]], err);
        if (status != THAW_OK) {
            return status;
        }
        *whole = *whole && s->images[slots[i]].rgb;
    }
    return THAW_OK;
}

static int count_rows(const char *csv)
{
    int n = 0;
    for (const char *at = strchr(csv, '\n'); at && at[1]; at = strchr(at + 1, '\n')) {
        const char *comma = strchr(at + 1, ',');
        n += comma && comma[1] != ',' && comma[1] != '\n'; /* one that came through has numbers */
    }
    return n;
}

/* All pictures of a set, or none. */
static thaw_status read_chances(const folder *f, thaw_notebook_sources *s, thaw_error *err)
{
    static const thaw_page_slot slots[] = {THAW_PAGE_TYPICAL, THAW_PAGE_OTHERS, THAW_PAGE_WHITE, THAW_PAGE_COLOURS};
    char *csv = NULL;
    size_t n = 0;
    thaw_status status = read(f->dir, thaw_chances_file_name(4), TEXT_MOST, &csv, &n, err);
    bool all = status == THAW_OK && csv;
    for (int i = 0; status == THAW_OK && all && i < 4; i++) {
        status = read_picture(f->dir, thaw_chances_file_name(i), f->digest, &s->images[slots[i]], err);
        all = s->images[slots[i]].rgb != NULL;
    }
    for (int i = 0; !all && i < 4; i++) {
        thaw_release(s->images[slots[i]].rgb);
        s->images[slots[i]] = (thaw_image){0};
    }
    s->n_chances = all ? count_rows(csv) : 0;
    thaw_release(csv);
    return status;
}

static thaw_status read_film(const folder *f, thaw_notebook_sources *s, thaw_error *err)
{
    char *webp = NULL, *table = NULL;
    size_t n_webp = 0, n_table = 0;
    thaw_status status = read(f->dir, thaw_preview_film_name(0), TEXT_MOST, &webp, &n_webp, err);
    if (status == THAW_OK && webp) {
        status = read(f->dir, thaw_preview_film_name(2), TEXT_MOST, &table, &n_table, err);
    }
    if (status == THAW_OK && table) {
        status = thaw_film_read((const unsigned char *)webp, n_webp, table, f->digest, f->seed, thaw_version(), s->frames, &s->n_frames, err);
    }
    thaw_release(webp);
    thaw_release(table);
    return status;
}

/* figures.json of this scenario and version, whole. */
static thaw_status read_figures(const folder *f, thaw_notebook_sources *s, bool *whole, thaw_error *err)
{
    size_t n = 0;
    thaw_preview_figures figures;
    thaw_figures_origin origin = {{0}, {0}, {0}};
    thaw_error broken = {0};
    thaw_status status = read(f->dir, "figures.json", TEXT_MOST, &s->json, &n, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_figures_names *names = thaw_allocate(1, sizeof *names, err);
    if (!names) {
        return THAW_ERR_MEMORY;
    }
    *whole = s->json && thaw_figures_read(s->json, n, &figures, names, &origin, &broken) == THAW_OK &&
             strcmp(origin.digest, f->digest) == 0 && strcmp(origin.seed, f->seed) == 0 && strcmp(origin.version, thaw_version()) == 0;
    thaw_release(names);
    return THAW_OK;
}

static bool is_enough(const thaw_notebook_options *o, const thaw_notebook_sources *s)
{
    return (o->frames <= 0 || s->n_frames > 0) && (o->chances == 0 || s->n_chances > 0);
}

thaw_status thaw_notebook_read_run(const thaw_scenario *scenario, const thaw_notebook_options *options,
                                   thaw_notebook_sources *sources, bool *usable, thaw_error *err)
{
    folder f = {.dir = options->folder};
    size_t n = 0;
    bool whole = false;
    thaw_scenario_digest(scenario, f.digest);
    snprintf(f.seed, sizeof f.seed, "%llu", (unsigned long long)thaw_scenario_seed(scenario));
    *usable = false;
    thaw_folder_settle(f.dir);
    thaw_status status = read_figures(&f, sources, &whole, err);
    if (status == THAW_OK && whole) {
        status = read(f.dir, "melt-curve.csv", TEXT_MOST, &sources->curve, &n, err);
        whole = sources->curve != NULL;
    }
    if (status == THAW_OK && whole) {
        status = read_pictures(&f, sources, &whole, err);
    }
    if (status == THAW_OK && whole) {
        status = read_chances(&f, sources, err);
    }
    if (status == THAW_OK && whole && options->frames != 0) {
        status = read_film(&f, sources, err);
    }
    *usable = status == THAW_OK && whole && is_enough(options, sources);
    if (!*usable) {
        thaw_notebook_sources_release(sources);
    }
    return status;
}

thaw_status thaw_notebook_read_plans(const thaw_scenario *scenario, const char *dir, thaw_notebook_sources *sources, thaw_error *err)
{
    char digest[17];
    thaw_scenario_digest(scenario, digest);
    thaw_status status = read_picture(dir, "border.png", digest, &sources->images[THAW_PAGE_BORDER], err);
    return status == THAW_OK ? read_picture(dir, "lay.png", digest, &sources->images[THAW_PAGE_LAY], err) : status;
}

thaw_status thaw_notebook_read_record(const char *dir, thaw_notebook_sources *sources, thaw_error *err)
{
    char *text = NULL, path[4096 + 64];
    size_t n = 0;
    snprintf(path, sizeof path, "%s/record.json", dir);
    thaw_status status = read(dir, "record.json", RECORD_MOST, &text, &n, err);
    if (status == THAW_OK && text) {
        status = thaw_record_read(text, n, path, &sources->record, err);
        sources->has_record = status == THAW_OK;
    }
    thaw_release(text);
    if (status == THAW_OK && sources->has_record && sources->record.has_photo) {
        status = read_picture(dir, THAW_RECORD_PHOTO, NULL, &sources->images[THAW_PAGE_PHOTO], err);
        if (status == THAW_OK && !sources->images[THAW_PAGE_PHOTO].rgb) {
            status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: its photo " THAW_RECORD_PHOTO " is missing, or no PNG of at most %d pixels a side",
                               path, THAW_PICTURE_MOST);
        }
    }
    return status;
}
