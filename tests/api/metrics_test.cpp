#include "../twins/folder.hpp"
#include "samples.hpp"

#include <slotwitness/api/metrics.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <sys/wait.h>

namespace slotwitness::api {
namespace {

using testing::AllOf;
using testing::EndsWith;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

/// Runs a program that reads the text from its standard input; its exit status.
int told_to(const std::string& program, const std::string& text) {
    const twins::Folder folder;
    const int status = std::system((program + " < '" + folder.write("text", text) + "'").c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

class metrics : public testing::Test {
  protected:
    metrics() {
        samples::fill(desk);
        counts.count(201);
        counts.count(204);
        counts.count(503);
        counts.connections = 3;
        counts.streams = 2;
        desk.chassis_shown.push_back(samples::chassis());
        desk.chassis_shown.back().name = "a \"strange\\\nname";
        desk.chassis_shown.back().session = desk::Session::lost;
        desk.chassis_shown.back().last_answer.reset();
    }
    Response get(std::vector<Field> fields = {}) {
        return metrics_shown(samples::request(Method::get, "/metrics", std::move(fields)), counts,
                             desk);
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    Counts counts;
};

TEST_F(metrics, are_of_the_standard_unless_the_older_format_alone_is_taken) { // OpenMetrics 1.0
    const Response standard = get();
    EXPECT_EQ(standard.field("Content-Type"),
              "application/openmetrics-text; version=1.0.0; charset=utf-8");
    EXPECT_THAT(standard.body, EndsWith("\n# EOF\n"));
    const Response older = get({{"Accept", "text/plain; version=0.0.4"}});
    EXPECT_EQ(older.field("Content-Type"), "text/plain; version=0.0.4; charset=utf-8");
    EXPECT_THAT(older.body, Not(HasSubstr("# EOF")));
    EXPECT_EQ(get({{"Accept", "application/json"}}).status, 406);
}

TEST_F(metrics, tell_the_chassis_the_work_and_the_server) {
    EXPECT_THAT(
        get().body,
        AllOf(StartsWith("# TYPE slotwitness_ready gauge\n"), HasSubstr("\nslotwitness_ready 1\n"),
              HasSubstr("\nslotwitness_router_session{chassis=\"core1\",slotwitness_router_session="
                        "\"connected\"} 1\n"),
              HasSubstr("\nslotwitness_router_session{chassis=\"core1\",slotwitness_router_session="
                        "\"lost\"} 0\n"),
              // date -u -d 2026-11-25T07:59:59Z +%s gives 1795593599
              HasSubstr("\nslotwitness_last_answer_timestamp_seconds{chassis=\"core1\"} "
                        "1795593599.000\n"),
              HasSubstr("\nslotwitness_unread_lines{chassis=\"core1\"} 1\n"),
              HasSubstr("\nslotwitness_gates{chassis=\"core1\",verdict=\"pending\"} 1\n"),
              HasSubstr("\nslotwitness_open_procedures{chassis=\"core1\",word=\"STATE MET\"} 1\n"),
              HasSubstr("\n# TYPE slotwitness_responses counter\n"),
              HasSubstr("\nslotwitness_responses_total{status=\"2xx\"} 2\n"),
              HasSubstr("\nslotwitness_responses_total{status=\"5xx\"} 1\n"),
              HasSubstr("\nslotwitness_connections 3\n"),
              HasSubstr("\nslotwitness_event_streams 2\n")));
}

TEST_F(metrics, fall_with_confidence_as_everything_that_is_shown) {
    desk.time = samples::start + std::chrono::minutes{1};
    EXPECT_THAT(get().body, AllOf(HasSubstr("word=\"STATE MET\"} 0\n"),
                                  HasSubstr("{chassis=\"core1\",word=\"WAIT\"} 1\n")));
}

TEST_F(metrics, are_read_by_a_strict_reader_of_the_standard) {
    if (std::system("/usr/bin/python3 -c 'import prometheus_client' 2>/dev/null") != 0)
        GTEST_SKIP() << "needs Debian's python3-prometheus-client";
    const std::string reader =
        "/usr/bin/python3 -c 'import sys; from prometheus_client.openmetrics.parser import *; "
        "assert len(list(text_string_to_metric_families(sys.stdin.read()))) == 9' 2>/dev/null";
    const std::string good = get().body;
    EXPECT_EQ(told_to(reader, good), 0) << good;
    // It does look: a counter that does not say so, and a text that was cut, are refused.
    std::string bad = good;
    bad.replace(bad.find("responses_total"), 15, "responses_other");
    EXPECT_NE(told_to(reader, bad), 0);
    EXPECT_NE(told_to(reader, good.substr(0, good.size() - 6)), 0);
}

TEST_F(metrics, have_nothing_that_promtool_finds_fault_with) {
    if (std::system("command -v promtool >/dev/null") != 0)
        GTEST_SKIP() << "needs promtool (Debian prometheus)";
    const std::string older = get({{"Accept", "text/plain"}}).body;
    EXPECT_EQ(told_to("promtool check metrics", older), 0) << older;
    EXPECT_NE(told_to("promtool check metrics >/dev/null 2>&1",
                      older + "# TYPE other counter\nother 1\n"),
              0);
}

} // namespace
} // namespace slotwitness::api
