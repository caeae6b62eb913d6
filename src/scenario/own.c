#include "scenario/own.h"

#include <stdio.h>
#include <string.h>

#include "scenario/document.h"
#include "scenario/kitchen.h"

static const char *const SECTIONS[THAW_OWN_SECTIONS] = {"own-cloths", "own-dyes", "own-colours", "kitchen"};

void thaw_own_read(const thaw_reader *reader, yaml_node_t *const *values, thaw_shelf *shelf)
{
    shelf->n_files++;
    if (values[0]) {
        thaw_own_read_cloths(reader, values[0], shelf);
    }
    if (values[1]) {
        thaw_own_read_dyes(reader, values[1], shelf);
    }
    if (values[2]) {
        thaw_own_read_colours(reader, values[2], shelf);
    }
    if (values[3]) {
        thaw_kitchen_read(reader, values[3], shelf);
    }
}

static void read_root(const thaw_reader *reader, const yaml_node_t *root, void *user)
{
    yaml_node_t *values[THAW_OWN_SECTIONS];
    if (thaw_reader_map(reader, root, "", SECTIONS, THAW_OWN_SECTIONS, values)) {
        thaw_own_read(reader, values, user);
    }
}

thaw_status thaw_own_parse(const char *text, size_t n, const char *path, thaw_shelf *shelf, thaw_error *err)
{
    thaw_units *units = NULL;
    thaw_faults *faults = NULL;
    thaw_status status = thaw_units_create(&units, err);
    if (status == THAW_OK) {
        status = thaw_faults_create(path, text, n, &faults, err);
    }
    if (status == THAW_OK) {
        status = thaw_document_read(text, n, units, read_root, shelf, faults, err);
    }
    thaw_faults_destroy(faults);
    thaw_units_destroy(units);
    return status;
}

void thaw_own_list(const thaw_shelf *shelf, thaw_specification *spec)
{
    for (int i = 0; i < THAW_MAX_OWN_DYES; i++) {
        spec->own_dyes[i] = i < shelf->n_dyes ? &shelf->dyes[i].component : NULL;
    }
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

/* So that a name needs no quotes in YAML and is not taken for something else. */
static bool is_plain(const char *name)
{
    bool plain = is_letter(name[0]) && name[strlen(name) - 1] != ' ';
    for (const char *at = name; *at; at++) {
        plain = plain && (is_letter(*at) || (*at >= '0' && *at <= '9') || *at == ' ' || *at == '-');
    }
    return plain && strcmp(name, "none") != 0;
}

bool thaw_own_name(const thaw_reader *reader, const yaml_node_t *node, const char *where, const char *table_name,
                   char out[THAW_OWN_NAME])
{
    const char *text = node ? thaw_reader_text(reader, node, where) : NULL;
    const char *remedy = NULL;
    if (!text) {
        return false;
    }
    if (strlen(text) >= THAW_OWN_NAME) {
        remedy = "use at most 47 bytes";
    } else if (!is_plain(text)) {
        remedy = "begin with a letter and use letters, digits, spaces and hyphens";
    } else if (table_name) {
        remedy = "give it a name of its own: that one is taken by a table, see `thawprint list`";
    }
    if (remedy) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "%s: `%.60s` cannot be used as a name", where,
                        text);
        return false;
    }
    snprintf(out, THAW_OWN_NAME, "%s", text);
    return true;
}

int thaw_own_place(const thaw_reader *reader, const yaml_node_t *node, const char *name, int found, int file_of_found,
                   int file, int *n, int most)
{
    if (found >= 0 && file_of_found == file) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "keep one of the two", "`%.60s` is given twice", name);
        return -1;
    }
    if (found >= 0) {
        return found;
    }
    if (*n == most) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), NULL, "`%.60s`: more than %d entries of one's own",
                        name, most);
        return -1;
    }
    return (*n)++;
}

bool thaw_own_number(const thaw_reader *reader, const yaml_node_t *node, const char *where, double lowest,
                     double highest, const char *allowed, double *value)
{
    char why[160], remedy[200];
    double number = 0.0;
    const char *text = node ? thaw_reader_text(reader, node, where) : NULL;
    if (!text) {
        return false;
    }
    snprintf(remedy, sizeof remedy, "allowed: %s", allowed);
    const char *rest = thaw_number_parse(text, &number, why, sizeof why);
    if (!rest) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "%s: %s", where, why);
    } else if (*rest) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy,
                        "%s: `%.60s` is not a plain number: it has no unit", where, text);
    } else if (!(number >= lowest && number <= highest)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "%s: `%.60s` is too %s", where, text,
                        number > highest ? "large" : "small");
    } else {
        *value = number;
        return true;
    }
    return false;
}

bool thaw_own_figure(const thaw_reader *reader, const yaml_node_t *node, const char *where, const thaw_figure_row *row,
                     void *thing)
{
    char name[80];
    double value = 0.0;
    bool fine = false;
    snprintf(name, sizeof name, "%s.%s", where, row->key);
    if (row->quantity == THAW_QUANTITY_KINDS) {
        fine = thaw_own_number(reader, node, name, row->lowest, row->highest, row->allowed, &value);
    } else {
        const thaw_rule rule = {name, row->quantity, row->lowest, row->highest, false, row->allowed};
        fine = thaw_reader_quantity(reader, node, &rule, &value);
    }
    if (fine) {
        thaw_figure_set(row, thing, value);
    }
    return fine;
}
