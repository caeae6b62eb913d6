/* Any bytes as two members of a set that ran elsewhere: refused, or members that can be joined. The second member is
 * behind the first one's length, a line of its own at the top. */
#include "fuzz.h"

#include "base/alloc.h"
#include "output/member_file.h"
#include "scenario/scenario.h"
#include "study/chance.h"

#define SUM_AT (sizeof "thawprint member\nsum " - 1)

static int decode(const uint8_t *data, size_t size, int m, thaw_member *out)
{
    const thaw_member_place place = {"0123456789abcdef-all", m, 2};
    char *bytes = as_text(data, size), sum[17];
    thaw_error err = {0};
    if (size > SUM_AT + 16) { /* a fuzzer finds no sums: the right one is put in */
        snprintf(sum, sizeof sum, "%016llx", (unsigned long long)thaw_member_sum(bytes, size));
        memcpy(bytes + SUM_AT, sum, 16);
    }
    const thaw_status status = thaw_member_decode(bytes, size, &place, out, &err);
    if (status != THAW_OK) {
        demand_reason(status, &err);
    }
    free(bytes);
    return status == THAW_OK;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    thaw_member members[2] = {{0}, {0}};
    char head[16] = "";
    memcpy(head, data, size < sizeof head - 1 ? size : sizeof head - 1);
    const char *end = strchr(head, '\n');
    const long first = strtol(head, NULL, 10);
    if (!end || first < 0 || (size_t)first > size - (size_t)(end - head) - 1) {
        return 0;
    }
    const uint8_t *at = data + (end - head) + 1;
    const size_t left = size - (size_t)(end - head) - 1;
    if (decode(at, (size_t)first, 1, &members[0]) && decode(at + first, left - (size_t)first, 2, &members[1])) {
        thaw_scenario *scenario = NULL;
        thaw_error err = {0};
        thaw_set_summary summary;
        demand(thaw_scenario_demo(&scenario, &err) == THAW_OK, "the demo can be loaded", err.text);
        if (thaw_set_summarise(&scenario->spec, members, 2, &summary, &err) == THAW_OK) {
            thaw_set_summary_release(&summary);
        } else {
            demand_reason(err.status, &err);
        }
        thaw_scenario_destroy(scenario);
    }
    thaw_member_release(&members[0]);
    thaw_member_release(&members[1]);
    return 0;
}
