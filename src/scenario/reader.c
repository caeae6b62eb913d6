#include "scenario/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/words.h"

thaw_place thaw_reader_place(const yaml_node_t *node)
{
    return (thaw_place){node->start_mark.line + 1, node->start_mark.column + 1};
}

yaml_node_t *thaw_reader_node(const thaw_reader *reader, int id)
{
    return yaml_document_get_node(reader->document, id);
}

/* Names of things with "`a`, `b`, `c`" as far as they fit. */
static void write_words(char *out, size_t size, const char *lead, const char *const *known, int n)
{
    size_t used = (size_t)snprintf(out, size, "%s", lead);
    for (int i = 0; i < n && used < size; i++) {
        size_t need = strlen(known[i]) + 8;
        if (used + need + 4 > size) {
            snprintf(out + used, size - used, ", ...");
            return;
        }
        used += (size_t)snprintf(out + used, size - used, "%s`%s`", i ? ", " : "", known[i]);
    }
}

void thaw_reader_unknown(const thaw_reader *reader, thaw_place place, const char *where,
                         const char *word, const char *const *known, int n)
{
    char remedy[340], lead[120];
    const char *near = thaw_words_nearest(word, known, n);
    if (near) {
        snprintf(lead, sizeof lead, "did you mean `%s`? Known: ", near);
    } else {
        snprintf(lead, sizeof lead, "known: ");
    }
    write_words(remedy, sizeof remedy, lead, known, n);
    thaw_faults_add(reader->faults, place, remedy, "%s: `%.60s` is not known", where, word);
}

void thaw_reader_missing(const thaw_reader *reader, thaw_place place, const char *where,
                         const char *example)
{
    char remedy[200];
    snprintf(remedy, sizeof remedy, "add it, for example `%s`", example);
    thaw_faults_add(reader->faults, place, remedy, "`%s` is missing", where);
}

static bool usual_tag(const yaml_node_t *node)
{
    const char *tag = (const char *)node->tag;
    return !tag || strcmp(tag, YAML_STR_TAG) == 0 || strcmp(tag, YAML_MAP_TAG) == 0 ||
           strcmp(tag, YAML_SEQ_TAG) == 0;
}

const char *thaw_reader_text(const thaw_reader *reader, const yaml_node_t *node, const char *where)
{
    if (node->type != YAML_SCALAR_NODE || !usual_tag(node)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), NULL,
                        "%s: a single value is wanted here", where);
        return NULL;
    }
    const char *text = (const char *)node->data.scalar.value;
    if (node->data.scalar.length == 0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "write a value, or leave the key out", "%s is empty", where);
        return NULL;
    }
    for (size_t i = 0; i < node->data.scalar.length; i++) {
        if (text[i] == '\0' || thaw_words_control(text + i) > 0) {
            thaw_faults_add(reader->faults, thaw_reader_place(node), NULL,
                            "%s: must be one line of plain text", where);
            return NULL;
        }
    }
    return text;
}

static int find_key(const char *key, const char *const *keys, int n)
{
    for (int i = 0; i < n; i++) {
        if (strcmp(key, keys[i]) == 0) {
            return i;
        }
    }
    return -1;
}

static void read_pair(const thaw_reader *reader, const yaml_node_pair_t *pair, const char *where,
                      const char *const *keys, int n, yaml_node_t **values)
{
    const yaml_node_t *key = thaw_reader_node(reader, pair->key);
    const char *word = thaw_reader_text(reader, key, where[0] ? where : "a key");
    if (!word) {
        return;
    }
    int at = find_key(word, keys, n);
    if (at < 0) {
        char place[80];
        snprintf(place, sizeof place, "%s%skey", where, where[0] ? ": " : "");
        thaw_reader_unknown(reader, thaw_reader_place(key), place, word, keys, n);
    } else if (values[at]) {
        thaw_place first = thaw_reader_place(values[at]);
        thaw_faults_add(reader->faults, thaw_reader_place(key), "keep one of the two",
                        "`%s` is given twice, first on line %zu", word, first.line);
    } else {
        values[at] = thaw_reader_node(reader, pair->value);
    }
}

bool thaw_reader_map(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     const char *const *keys, int n, yaml_node_t **values)
{
    for (int i = 0; i < n; i++) {
        values[i] = NULL;
    }
    if (node->type != YAML_MAPPING_NODE || !usual_tag(node)) {
        char remedy[340];
        write_words(remedy, sizeof remedy, "keys: ", keys, n);
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy,
                        "%s: lines of `key: value` are wanted here", where[0] ? where : "file");
        return false;
    }
    for (yaml_node_pair_t *pair = node->data.mapping.pairs.start;
         pair < node->data.mapping.pairs.top; pair++) {
        read_pair(reader, pair, where, keys, n, values);
    }
    return true;
}

/* A limit given in a unit of its own may miss itself by a rounding. */
static double at_limit(double value, double limit)
{
    return fabs(value - limit) <= 1e-12 * fabs(limit) ? limit : value;
}

bool thaw_reader_quantity(const thaw_reader *reader, const yaml_node_t *node, const thaw_rule *rule,
                          double *si)
{
    char why[240], allowed[160];
    double value = 0.0;
    const char *text = node ? thaw_reader_text(reader, node, rule->name) : NULL;
    if (!text) {
        return false;
    }
    snprintf(allowed, sizeof allowed, "allowed: %s", rule->allowed);
    if (!thaw_quantity_parse(reader->units, rule->kind, text, &value, why, sizeof why)) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), allowed, "%s: %s", rule->name,
                        why);
        return false;
    }
    value = at_limit(at_limit(value, rule->lowest), rule->highest);
    if (value < rule->lowest || value > rule->highest || (rule->above && value <= rule->lowest)) {
        const char *side = value > rule->highest ? "too large"
                           : value < 0.0         ? "negative or too small"
                           : value == 0.0        ? "zero"
                                                 : "too small";
        thaw_faults_add(reader->faults, thaw_reader_place(node), allowed, "%s: `%.60s` is %s",
                        rule->name, text, side);
        return false;
    }
    *si = value;
    return true;
}

int thaw_reader_word(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     const char *const *words, int n)
{
    const char *text = node ? thaw_reader_text(reader, node, where) : NULL;
    if (!text) {
        return -1;
    }
    for (int i = 0; i < n; i++) {
        if (thaw_words_same(text, words[i])) {
            return i;
        }
    }
    thaw_reader_unknown(reader, thaw_reader_place(node), where, text, words, n);
    return -1;
}

bool thaw_reader_whole(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                       uint64_t lowest, uint64_t highest, uint64_t *value)
{
    const char *text = node ? thaw_reader_text(reader, node, where) : NULL;
    if (!text) {
        return false;
    }
    uint64_t sum = 0;
    bool fits = true;
    for (const char *at = text; *at && fits; at++) {
        uint64_t digit = (uint64_t)(*at - '0');
        fits = *at >= '0' && *at <= '9' && sum <= (UINT64_MAX - digit) / 10;
        sum = sum * 10 + digit;
    }
    if (!fits || sum < lowest || sum > highest) {
        char remedy[100];
        snprintf(remedy, sizeof remedy, "allowed: %llu to %llu", (unsigned long long)lowest,
                 (unsigned long long)highest);
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy,
                        "%s: `%.60s` is not a whole number in the range allowed", where, text);
        return false;
    }
    *value = sum;
    return true;
}

int thaw_reader_list(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     int most, yaml_node_t **items)
{
    if (node->type != YAML_SEQUENCE_NODE || !usual_tag(node)) {
        return -1;
    }
    int n = 0;
    for (yaml_node_item_t *item = node->data.sequence.items.start;
         item < node->data.sequence.items.top; item++) {
        if (n == most) {
            thaw_faults_add(reader->faults, thaw_reader_place(thaw_reader_node(reader, *item)),
                            NULL, "%s: more than %d entries", where, most);
            break;
        }
        items[n++] = thaw_reader_node(reader, *item);
    }
    return n;
}
