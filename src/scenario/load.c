/* From the text of a scenario file to a checked scenario. */
#include <stdio.h>
#include <string.h>

#include <yaml.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/words.h"
#include "scenario/document.h"
#include "scenario/estimate.h"
#include "scenario/kitchen.h"
#include "scenario/override.h"
#include "scenario/own.h"
#include "scenario/sections.h"

static const struct detail_row {
    const char *word;
    double cell_m;
} DETAILS[] = {{"draft", 0.004}, {"normal", 0.002}, {"fine", 0.001}};

double thaw_detail_cell_m(thaw_detail detail)
{
    return DETAILS[detail].cell_m;
}

const char *thaw_detail_word(thaw_detail detail)
{
    return DETAILS[detail].word;
}

int thaw_detail_find(const char *word)
{
    for (int i = 0; i < 3; i++) {
        if (thaw_words_same(word, DETAILS[i].word)) {
            return i;
        }
    }
    return -1;
}

const thaw_specification *thaw_scenario_specification(const thaw_scenario *scenario)
{
    return &scenario->spec;
}

static void set_defaults(thaw_specification *spec)
{
    spec->soda_kg_m3 = 40.0;
    spec->room_k = 293.15;
    spec->humidity = 0.5;
    spec->draught_m_s = 0.1;
    spec->leave_s = 86400.0;
    spec->seed = 1;
    spec->detail = THAW_DETAIL_NORMAL;
    spec->cell_m = thaw_detail_cell_m(THAW_DETAIL_NORMAL);
}

static int is_safe(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '.';
}

/* The file's name without folder and ending; runs of other signs become one hyphen. */
static void name_from_path(const char *path, char *name, size_t size)
{
    const char *slash = strrchr(path, '/');
    const char *at = slash ? slash + 1 : path;
    const char *dot = strrchr(at, '.');
    bool yaml = dot && dot > at && (strcmp(dot, ".yaml") == 0 || strcmp(dot, ".yml") == 0);
    const char *end = yaml ? dot : at + strlen(at);
    size_t n = 0;
    for (; at < end && n + 1 < size; at++) {
        if (is_safe(*at) && !(n == 0 && *at == '.')) {
            name[n++] = *at;
        } else if (n > 0 && name[n - 1] != '-') {
            name[n++] = '-';
        }
    }
    while (n > 0 && (name[n - 1] == '-' || name[n - 1] == '.')) {
        n--;
    }
    name[n] = '\0';
    if (n == 0) {
        snprintf(name, size, "scenario");
    }
}

/* Place of the n-th byte. */
static thaw_place place_of_byte(const char *text, size_t n)
{
    thaw_place place = {1, 1};
    for (size_t i = 0; i < n; i++) {
        place.column += ((unsigned char)text[i] & 0xC0u) != 0x80u;
        if (text[i] == '\n') {
            place = (thaw_place){place.line + 1, 1};
        }
    }
    return place;
}

static void report_parser(const yaml_parser_t *parser, const char *text, size_t n,
                          thaw_faults *faults)
{
    const char *problem = parser->problem ? parser->problem : "cannot be read";
    thaw_place place = {parser->problem_mark.line + 1, parser->problem_mark.column + 1};
    if (parser->error == YAML_READER_ERROR) {
        size_t at = parser->problem_offset < n ? parser->problem_offset : n;
        place = place_of_byte(text, at);
    }
    char context[160] = "";
    if (parser->context) {
        snprintf(context, sizeof context, "%s, which began on line %zu", parser->context,
                 parser->context_mark.line + 1);
    }
    thaw_faults_add(faults, place, context[0] ? context : NULL, "not valid YAML: %s", problem);
}

/* What reading the root of a scenario needs. */
typedef struct root_work {
    double available;
    const char *path;              /* of the scenario: pictures lie beside it */
    const thaw_override *overrides;
    int n_overrides;
    thaw_scenario *scenario;
} root_work;

static void read_root(const thaw_reader *plain, const yaml_node_t *root, void *user)
{
    enum { TITLE, CLOTH, PREPARE, FOLD, HANG, ICE, DYE, SODA, SET_UP, ROOM, LEAVE, SEED, DETAIL, GARMENT, OWN, N = OWN + THAW_OWN_SECTIONS };
    static const char *const keys[N] = {"title",  "cloth",      "prepare", "fold",   "hang",  "ice",  "dye",
                                        "soda-ash", "set-up",   "room",    "leave",  "seed",  "detail", "garment",
                                        "own-cloths", "own-dyes", "own-colours", "kitchen"};
    const root_work *work = user;
    const double available = work->available;
    thaw_scenario *scenario = work->scenario;
    thaw_reader with_pictures = *plain, *reader = &with_pictures;
    yaml_node_t *values[N];
    char why[200];
    const int at = (int)(root - plain->document->nodes.start) + 1;
    for (int i = 0; i < work->n_overrides; i++) {
        thaw_override_apply(plain, root, &work->overrides[i]);
        root = thaw_reader_node(plain, at); /* nodes may have moved */
    }
    with_pictures.path = work->path;
    with_pictures.pictures = scenario->pictures;
    if (!thaw_reader_map(reader, root, "", keys, N, values)) {
        return;
    }
    thaw_place whole = thaw_reader_place(root);
    thaw_own_read(reader, &values[OWN], scenario->shelf);
    thaw_own_list(scenario->shelf, &scenario->spec);
    thaw_section_title(reader, values[TITLE], scenario);
    thaw_section_garment(reader, values[GARMENT], scenario);
    thaw_place width = thaw_section_cloth(reader, values[CLOTH], whole, scenario);
    thaw_section_prepare(reader, values[PREPARE], scenario);
    thaw_section_hang(reader, values[HANG], scenario);
    thaw_section_fold(reader, values[FOLD], scenario);
    thaw_section_ice(reader, values[ICE], whole, scenario);
    thaw_section_dye(reader, values[DYE], whole, scenario);
    thaw_section_soda(reader, values[SODA], scenario);
    thaw_section_set_up(reader, values[SET_UP], scenario);
    thaw_section_room(reader, values[ROOM], scenario);
    thaw_section_leave(reader, values[LEAVE], scenario);
    thaw_section_seed(reader, values[SEED], scenario);
    thaw_section_detail(reader, values[DETAIL], scenario);
    thaw_kitchen_apply(scenario);
    thaw_pictures_finish(reader->pictures, reader->faults);
    thaw_estimate estimate = thaw_estimate_run(&scenario->spec);
    if (!thaw_estimate_fits(&estimate, available, why, sizeof why)) {
        thaw_faults_add(reader->faults, width, "make the cloth smaller or the detail coarser",
                        "too many cells: %s", why);
    }
}

static void read_document(yaml_parser_t *parser, const char *text, size_t n, const thaw_units *units,
                          thaw_root_reader *read, void *user, thaw_faults *faults)
{
    yaml_document_t document;
    if (!yaml_parser_load(parser, &document)) {
        report_parser(parser, text, n, faults);
        return;
    }
    thaw_reader reader = {.document = &document, .faults = faults, .units = units};
    const yaml_node_t *root = yaml_document_get_root_node(&document);
    if (!root) {
        thaw_faults_add(faults, (thaw_place){0, 0}, "`thawprint list` names what it may say",
                        "the file holds no scenario: it is empty");
    } else {
        read(&reader, root, user);
    }
    yaml_document_delete(&document);
    if (!root) {
        return;
    }
    if (!yaml_parser_load(parser, &document)) {
        report_parser(parser, text, n, faults);
        return;
    }
    root = yaml_document_get_root_node(&document);
    if (root) {
        thaw_faults_add(faults, thaw_reader_place(root), "put each scenario in a file of its own",
                        "a second document begins here");
    }
    yaml_document_delete(&document);
}

#define DEEPEST 12 /* a scenario needs 6: the file, a garment, its panels, one of them, its corners, a corner */

static int depth_change(yaml_event_type_t type)
{
    return (type == YAML_MAPPING_START_EVENT || type == YAML_SEQUENCE_START_EVENT) -
           (type == YAML_MAPPING_END_EVENT || type == YAML_SEQUENCE_END_EVENT);
}

static bool has_anchor(const yaml_event_t *event)
{
    return (event->type == YAML_MAPPING_START_EVENT && event->data.mapping_start.anchor) ||
           (event->type == YAML_SEQUENCE_START_EVENT && event->data.sequence_start.anchor);
}

/* False and a fault if the text nests too deep, or repeats by alias what holds an alias: such a document may hold
 * itself, or grow without bound. Looked at event by event beforehand, because the loader's time grows with the square
 * of the depth. Other faults are left to the loader. */
static bool check_depth(yaml_parser_t *parser, thaw_faults *faults)
{
    yaml_event_t event;
    int depth = 0, anchored = 0; /* depth of the outermost open part that has an anchor; 0: none */
    bool done = false;
    while (!done && yaml_parser_parse(parser, &event)) {
        done = event.type == YAML_STREAM_END_EVENT;
        depth += depth_change(event.type);
        anchored = depth < anchored ? 0 : (anchored == 0 && has_anchor(&event) ? depth : anchored);
        const bool nested = event.type == YAML_ALIAS_EVENT && anchored > 0;
        thaw_place place = {event.start_mark.line + 1, event.start_mark.column + 1};
        yaml_event_delete(&event);
        if (depth > DEEPEST) {
            thaw_faults_add(faults, place, NULL, "nested deeper than any scenario is");
            return false;
        }
        if (nested) {
            thaw_faults_add(faults, place, "write out what it stands for", "an alias inside a part that has an anchor itself");
            return false;
        }
    }
    return true;
}

static bool open_parser(yaml_parser_t *parser, const char *text, size_t n)
{
    if (!yaml_parser_initialize(parser)) {
        return false;
    }
    /* Some editors put a mark first; a parser that has been told the encoding does not pass over it. */
    static const char mark[] = "\xEF\xBB\xBF";
    const size_t skip = n >= 3 && memcmp(text, mark, 3) == 0 ? 3 : 0;
    yaml_parser_set_encoding(parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(parser, (const unsigned char *)text + skip, n - skip);
    return true;
}

thaw_status thaw_document_read(const char *text, size_t n, const thaw_units *units, thaw_root_reader *read, void *user,
                               thaw_faults *faults, thaw_error *err)
{
    yaml_parser_t parser;
    bool shallow = false, starved = !open_parser(&parser, text, n);
    if (!starved) {
        shallow = check_depth(&parser, faults);
        yaml_parser_delete(&parser);
    }
    if (shallow) {
        starved = !open_parser(&parser, text, n);
    }
    if (shallow && !starved) {
        read_document(&parser, text, n, units, read, user, faults);
        starved = parser.error == YAML_MEMORY_ERROR;
        yaml_parser_delete(&parser);
    }
    if (starved) {
        return thaw_fail(err, THAW_ERR_MEMORY, "not enough memory to read the scenario");
    }
    return thaw_faults_report(faults, err);
}

thaw_status thaw_scenario_parse(const char *text, size_t n, const char *path, double available,
                                thaw_scenario **out, thaw_error *err)
{
    thaw_shelf *shelf = thaw_allocate(1, sizeof *shelf, err);
    return shelf ? thaw_scenario_parse_with(text, n, path, available, shelf, NULL, 0, out, err) : THAW_ERR_MEMORY;
}

thaw_status thaw_scenario_parse_with(const char *text, size_t n, const char *path, double available,
                                     thaw_shelf *shelf, const thaw_override *overrides, int n_overrides,
                                     thaw_scenario **out, thaw_error *err)
{
    thaw_faults *faults = NULL;
    thaw_error read = {0};
    thaw_scenario *scenario = thaw_allocate(1, sizeof *scenario, err);
    thaw_status status = scenario ? THAW_OK : THAW_ERR_MEMORY;
    if (status != THAW_OK) {
        thaw_release(shelf);
    }
    if (status == THAW_OK) {
        scenario->shelf = shelf;
        status = thaw_units_create(&scenario->units, err);
    }
    if (status == THAW_OK) {
        scenario->pictures = thaw_allocate(1, sizeof *scenario->pictures, err);
        status = scenario->pictures ? THAW_OK : THAW_ERR_MEMORY;
    }
    if (status == THAW_OK) {
        status = thaw_faults_create(path, text, n, &faults, err);
    }
    if (status != THAW_OK) {
        goto fail;
    }
    set_defaults(&scenario->spec);
    name_from_path(path, scenario->spec.name, sizeof scenario->spec.name);
    snprintf(scenario->spec.title, sizeof scenario->spec.title, "%s", scenario->spec.name);
    root_work work = {available, path, overrides, n_overrides, scenario};
    status = thaw_document_read(text, n, scenario->units, read_root, &work, faults, &read);
    if (scenario->pictures->starved) { /* which made faults of its own */
        status = thaw_fail(err, THAW_ERR_MEMORY, "not enough memory to read a picture");
    } else if (status != THAW_OK) {
        thaw_fail(err, status, "%s", read.text);
    }
    if (status != THAW_OK) {
        goto fail;
    }
    thaw_faults_destroy(faults);
    *out = scenario;
    return THAW_OK;

fail:
    thaw_faults_destroy(faults);
    thaw_scenario_destroy(scenario);
    return status;
}

void thaw_scenario_destroy(thaw_scenario *scenario)
{
    if (scenario) {
        thaw_units_destroy(scenario->units);
        thaw_release(scenario->shelf);
        if (scenario->pictures) {
            thaw_pictures_release(scenario->pictures);
        }
        thaw_release(scenario->pictures);
        thaw_release(scenario);
    }
}
