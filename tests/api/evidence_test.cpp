#include "fake_desk.hpp"
#include "samples.hpp"
#include "scripted_transport.hpp"

#include <slotwitness/api/connection.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

using testing::EndsWith;
using testing::HasSubstr;
using testing::Not;

class evidence : public testing::Test {
  protected:
    evidence() { samples::fill(desk); }

    std::string asked(const std::string& line, const std::string& more = "") {
        ScriptedTransport transport{
            io.get_executor(),
            {line + "\r\nHost: localhost\r\n" + more + "\r\n", ScriptedTransport::Ends{}}};
        boost::asio::co_spawn(io, serve(transport, common),
                              [](std::exception_ptr error) { EXPECT_FALSE(error); });
        io.restart();
        io.run();
        return transport.written;
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    Common common{desk, ServerLimits{}, Hosts{}, Door{}, false, {}, {}};
};

const std::string get_pack = "GET /v1/procedures/p1/evidence HTTP/1.1";

TEST_F(evidence, comes_in_chunks_and_says_where_it_ends) {
    const std::string written = asked(get_pack);
    EXPECT_THAT(written, HasSubstr("HTTP/1.1 200 OK\r\n"));
    EXPECT_THAT(written, HasSubstr("\r\nContent-Type: application/x-tar\r\n"));
    EXPECT_THAT(written, HasSubstr("filename=\"evidence-p1.tar\""));
    EXPECT_THAT(written, HasSubstr("\r\nTransfer-Encoding: chunked\r\n"));
    EXPECT_THAT(written, Not(HasSubstr("Content-Length")));
    // RFC 9112 §7.1
    EXPECT_THAT(written, EndsWith("\r\n\r\nb\r\nfirst piece\r\n6\r\nsecond\r\n0\r\n\r\n"));
}

TEST_F(evidence, to_a_client_without_chunks_end_with_the_connection) {
    const std::string written = asked("GET /v1/procedures/p1/evidence HTTP/1.0");
    EXPECT_THAT(written, Not(HasSubstr("Transfer-Encoding")));
    EXPECT_THAT(written, EndsWith("\r\n\r\nfirst piecesecond"));
}

TEST_F(evidence, that_the_journal_cuts_have_no_last_chunk) {
    desk.pieces = {"first piece", ""};
    EXPECT_THAT(asked(get_pack), EndsWith("\r\n\r\nb\r\nfirst piece\r\n"));
}

TEST_F(evidence, of_head_is_the_head_alone) {
    const std::string written = asked("HEAD /v1/procedures/p1/evidence HTTP/1.1");
    EXPECT_THAT(written, HasSubstr("\r\nContent-Type: application/x-tar\r\n"));
    EXPECT_THAT(written, EndsWith("\r\n\r\n"));
    EXPECT_THAT(written, Not(HasSubstr("first piece")));
}

TEST_F(evidence, of_no_procedure_is_a_problem) {
    EXPECT_THAT(asked("GET /v1/procedures/none/evidence HTTP/1.1"), HasSubstr("HTTP/1.1 404 "));
}

TEST_F(evidence, that_cannot_be_read_is_a_problem_in_its_place) {
    desk.refusal = desk::Refusal{desk::Refusal::Kind::not_recorded, {}};
    EXPECT_THAT(asked(get_pack), HasSubstr("HTTP/1.1 503 "));
    EXPECT_EQ(common.packs, 0U);
}

TEST_F(evidence, is_sent_to_so_many_at_a_time) {
    common.packs = common.limits.packs;
    EXPECT_THAT(asked(get_pack), HasSubstr("HTTP/1.1 429 "));
    common.packs = common.limits.packs - 1;
    EXPECT_THAT(asked(get_pack), HasSubstr("HTTP/1.1 200 "));
    EXPECT_EQ(common.packs, common.limits.packs - 1);
}

TEST_F(evidence, is_a_tar_archive_and_nothing_else) {
    EXPECT_THAT(asked(get_pack, "Accept: application/zip\r\n"), HasSubstr("HTTP/1.1 406 "));
}

} // namespace
} // namespace slotwitness::api
