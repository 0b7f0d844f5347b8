#include "../twins/folder.hpp"
#include "running_server.hpp"

#include <slotwitness/api/tls.hpp>

#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/host_name_verification.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>

namespace slotwitness::api {
namespace {

namespace ssl = boost::asio::ssl;
using namespace std::chrono_literals;
using testing::HasSubstr;
using testing::StartsWith;

/// A self-signed certificate of openssl's for localhost.
class Certificate {
  public:
    Certificate() {
        const std::string command =
            "openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 "
            "-subj /CN=localhost -addext subjectAltName=DNS:localhost -keyout " +
            key() + " -out " + file() + " 2>/dev/null";
        if (std::system(command.c_str()) != 0)
            throw std::runtime_error("openssl made no certificate");
    }
    [[nodiscard]] std::string file() const { return folder_.file("certificate.pem"); }
    [[nodiscard]] std::string key() const { return folder_.file("key.pem"); }

  private:
    twins::Folder folder_;
};

const Certificate& certificate() {
    static const Certificate made;
    return made;
}

/// A client that checks the certificate, and blocks.
class SecureClient {
  public:
    explicit SecureClient(std::uint16_t port, int newest_version = TLS1_3_VERSION,
                          const Certificate& trusted = certificate())
        : context_(ssl::context::tls_client), stream_(io_, context_) {
        context_.load_verify_file(trusted.file());
        SSL_set_min_proto_version(stream_.native_handle(), TLS1_VERSION);
        SSL_set_max_proto_version(stream_.native_handle(), newest_version);
        SSL_set_security_level(stream_.native_handle(), 0);
        stream_.set_verify_mode(ssl::verify_peer);
        stream_.set_verify_callback(ssl::host_name_verification("localhost"));
        stream_.lowest_layer().connect({boost::asio::ip::address_v4::loopback(), port});
        stream_.handshake(ssl::stream_base::client, end_);
    }
    void send(std::string_view bytes) { boost::asio::write(stream_, boost::asio::buffer(bytes)); }
    /// Until the text came, or the server closed.
    std::string until(std::string_view text) {
        while (received_.find(text) == std::string::npos && !end_) {
            char chunk[4096];
            const auto count = stream_.read_some(boost::asio::buffer(chunk), end_);
            received_.append(chunk, count);
        }
        return received_;
    }
    std::string to_the_end() { return until(std::string_view{"\0never\0", 7}); }
    void hang_up() { stream_.lowest_layer().close(); }
    /// Of the handshake, or of reading.
    [[nodiscard]] boost::system::error_code end() const { return end_; }
    [[nodiscard]] std::string version() { return SSL_get_version(stream_.native_handle()); }

  private:
    boost::asio::io_context io_;
    ssl::context context_;
    ssl::stream<tcp::socket> stream_;
    std::string received_;
    boost::system::error_code end_;
};

class tls : public RunningServer {
  protected:
    void start_secured(ServerLimits limits = {}) {
        Access access;
        access.tls = load_tls(certificate().file(), certificate().key()).value();
        start(limits, std::move(access));
    }
};

TEST_F(tls, answers_and_tells_its_end) { // RFC 8446 §6.1: close_notify, so nothing was cut off
    start_secured();
    SecureClient client{port};
    ASSERT_FALSE(client.end()) << client.end().message();
    client.send(ask_livez);
    EXPECT_THAT(client.until("alive\n"), StartsWith("HTTP/1.1 200 OK\r\n"));
    client.send("GET /livez HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_THAT(client.to_the_end(), HasSubstr("Connection: close\r\n\r\nalive\n"));
    EXPECT_EQ(client.end(), boost::asio::error::eof);
}

TEST_F(tls, asks_for_tls_from_now_on) { // RFC 6797 §7.1
    start_secured();
    SecureClient client{port};
    client.send(ask_livez);
    EXPECT_THAT(client.until("alive\n"),
                HasSubstr("\r\nStrict-Transport-Security: max-age=31536000\r\n"));
}

TEST_F(tls, takes_a_renewed_certificate_and_leaves_connections_theirs) {
    start_secured();
    SecureClient before{port};
    before.send(ask_livez);
    before.until("alive\n");
    const Certificate renewed;
    on_loop([&] { running->use(load_tls(renewed.file(), renewed.key()).value()); });
    EXPECT_TRUE(SecureClient(port).end()) << "it is another certificate now";
    SecureClient after{port, TLS1_3_VERSION, renewed};
    ASSERT_FALSE(after.end()) << after.end().message();
    before.send("GET /v1/chassis HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_THAT(before.to_the_end(), HasSubstr("\"chassis\""));
}

TEST_F(tls, speaks_1_2_and_1_3_and_nothing_older) { // RFC 9325 §3.1.1
    start_secured();
    EXPECT_EQ(SecureClient(port, TLS1_3_VERSION).version(), "TLSv1.3");
    EXPECT_EQ(SecureClient(port, TLS1_2_VERSION).version(), "TLSv1.2");
    EXPECT_TRUE(SecureClient(port, TLS1_1_VERSION).end());
    EXPECT_TRUE(SecureClient(port, TLS1_VERSION).end());
}

TEST_F(tls, loses_no_byte_that_comes_during_a_wait) {
    start_secured();
    SecureClient client{port};
    client.send(samples::wait_request);
    eventually([&] { return desk.waiting() > 0; });
    client.send("GET /livez HTTP/1.1\r\nHo"); // read while it waits
    on_loop([&] {
        desk.change("g7", [](desk::GateView& view) {
            view.finding.verdict = witness::Verdict::pass;
            view.revision += 2;
        });
    });
    EXPECT_THAT(client.until("\"pass\""), HasSubstr("\"pass\""));
    client.send("st: localhost\r\n\r\n");
    EXPECT_THAT(client.until("alive\n"), HasSubstr("alive\n"));
}

TEST_F(tls, ends_a_wait_when_the_client_leaves) {
    start_secured();
    SecureClient client{port};
    client.send(samples::wait_request);
    eventually([&] { return desk.waiting() > 0; });
    client.hang_up();
    eventually([&] { return desk.waiting() == 0 && running->connections() == 0; });
}

TEST_F(tls, cuts_a_handshake_that_does_not_come_in_time) {
    ServerLimits limits;
    limits.handshake_time = 20ms;
    start_secured(limits);
    Client silent{port};
    EXPECT_EQ(silent.to_the_end(), "");
    eventually([&] { return running->connections() == 0; });
}

TEST_F(tls, turns_away_who_comes_while_too_many_shake_hands) {
    ServerLimits limits;
    limits.handshakes = 2;
    start_secured(limits);
    Client first{port};
    Client second{port};
    eventually([&] { return running->connections() == 2; });
    Client third{port};
    EXPECT_EQ(third.to_the_end(), "");
    first.hang_up();
    eventually([&] { return running->connections() == 1; });
    SecureClient served{port};
    served.send(ask_livez);
    EXPECT_THAT(served.until("alive\n"), HasSubstr("alive\n"));
}

TEST_F(tls, closes_on_who_speaks_plain_http) {
    start_secured();
    EXPECT_EQ(conversation(ask_livez).find("HTTP/1.1"), std::string::npos);
    eventually([&] { return running->connections() == 0; });
}

TEST_F(tls, ends_idle_and_half_begun_connections_when_it_stops) {
    start_secured();
    SecureClient idle{port};
    idle.send(ask_livez);
    idle.until("alive\n");
    Client half_begun{port};
    half_begun.send("\x16\x03\x01");
    eventually([&] { return running->connections() == 2; });
    on_loop([&] { running->stop(); });
    idle.to_the_end();
    idle.hang_up();
    half_begun.to_the_end();
    loop.join(); // returns only if nothing of the server is left
}

TEST(tls_files, that_are_none_or_do_not_fit_are_named) {
    const twins::Folder folder;
    folder.write("other", "no certificate\n");
    EXPECT_THAT(load_tls(folder.file("none"), certificate().key()).error(),
                HasSubstr(folder.file("none")));
    EXPECT_THAT(load_tls(folder.file("other"), certificate().key()).error(),
                HasSubstr("cannot use the certificate"));
    EXPECT_THAT(load_tls(certificate().file(), folder.file("other")).error(),
                HasSubstr("cannot use the key"));
    const Certificate another;
    EXPECT_THAT(load_tls(certificate().file(), another.key()).error(),
                HasSubstr("cannot use the key"));
}

TEST(access, beyond_loopback_needs_both_tls_and_tokens) {
    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    tokens::Register people{"/nonexistent"};
    const auto listens = [&](bool with_tls, bool with_tokens) {
        Access access;
        if (with_tls)
            access.tls = load_tls(certificate().file(), certificate().key()).value();
        access.tokens = with_tokens ? &people : nullptr;
        Server server{io.get_executor(), desk, {}, std::move(access)};
        return server.listen("0.0.0.0", 0).has_value();
    };
    EXPECT_FALSE(listens(false, false));
    EXPECT_FALSE(listens(true, false));
    EXPECT_FALSE(listens(false, true));
    EXPECT_TRUE(listens(true, true));
    io.run();
}

} // namespace
} // namespace slotwitness::api
