#include "people.hpp"
#include "running_server.hpp"

#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sys/stat.h>

namespace slotwitness::api {
namespace {

using Local = boost::asio::local::stream_protocol;
using testing::HasSubstr;
using testing::StartsWith;

class unix_socket : public RunningServer {
  protected:
    Access with_tokens() {
        Access access;
        access.tokens = &people.known;
        access.names = {"watch.example.net"};
        return access;
    }
    std::string conversation_on(const std::string& path, const std::string& bytes) {
        boost::asio::io_context client;
        Local::socket socket{client};
        socket.connect(Local::endpoint{path});
        boost::asio::write(socket, boost::asio::buffer(bytes));
        socket.shutdown(Local::socket::shutdown_send);
        std::string all;
        boost::system::error_code end;
        boost::asio::read(socket, boost::asio::dynamic_buffer(all), end);
        return all;
    }

    People people;
    twins::Folder folder;
    std::string path = folder.file("api");
};

TEST_F(unix_socket, serves_what_a_proxy_passes_on_under_a_public_name) {
    start({}, with_tokens());
    ASSERT_TRUE(on_loop([&] { return running->listen_on_socket(path); }));
    struct stat about {};
    ASSERT_EQ(::stat(path.c_str(), &about), 0);
    EXPECT_EQ(about.st_mode & 0777, 0660);
    const std::string head = "GET /v1/gates HTTP/1.1\r\nHost: watch.example.net\r\n";
    EXPECT_THAT(conversation_on(path, head + "\r\n"), StartsWith("HTTP/1.1 401 "));
    EXPECT_THAT(conversation_on(path, head + "Authorization: Bearer " +
                                          people.add(tokens::Role::viewer) + "\r\n\r\n"),
                StartsWith("HTTP/1.1 200 "));
    EXPECT_THAT(conversation_on(path, "GET /livez HTTP/1.1\r\nHost: evil.example\r\n\r\n"),
                StartsWith("HTTP/1.1 421 "));
    on_loop([&] { running->stop(); });
    loop.join();
    EXPECT_FALSE(std::filesystem::exists(path));
}

TEST_F(unix_socket, is_not_listened_on_without_tokens) {
    start();
    EXPECT_THAT(on_loop([&] { return running->listen_on_socket(path); }).error(),
                HasSubstr("add tokens"));
    EXPECT_FALSE(std::filesystem::exists(path));
}

TEST_F(unix_socket, takes_the_place_of_one_left_behind_but_of_no_other) {
    start({}, with_tokens());
    { Local::acceptor left_behind{io, Local::endpoint{path}}; } // closed, and the file stays
    ASSERT_TRUE(std::filesystem::exists(path));
    EXPECT_TRUE(on_loop([&] { return running->listen_on_socket(path); }));
    EXPECT_THAT(on_loop([&] { return running->listen_on_socket(path); }).error(),
                HasSubstr("Address already in use"));
    folder.write("file", "not ours");
    EXPECT_FALSE(on_loop([&] { return running->listen_on_socket(folder.file("file")); }));
    EXPECT_EQ(folder.text("file"), "not ours");
    EXPECT_THAT(
        on_loop([&] { return running->listen_on_socket("/" + std::string(107, 'a')); }).error(),
        HasSubstr("107 bytes"));
}

} // namespace
} // namespace slotwitness::api
