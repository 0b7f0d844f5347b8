#include "acceptor.hpp"

#include <cerrno>
#include <filesystem>
#include <string_view>
#include <sys/stat.h>
#include <unistd.h>

namespace slotwitness::api {

namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using Local = asio::local::stream_protocol;

std::string endpoint_text(const tcp::endpoint& endpoint) {
    const std::string address = endpoint.address().to_string();
    return (endpoint.address().is_v6() ? '[' + address + ']' : address) + ':' +
           std::to_string(endpoint.port());
}

/// Whoever was killed leaves its socket behind. One that answers is in use.
boost::system::error_code remove_left_behind(const asio::any_io_executor& executor,
                                             const std::string& path) {
    boost::system::error_code error;
    Local::socket probe{executor};
    probe.connect(Local::endpoint{path}, error);
    if (!error)
        return asio::error::address_in_use;
    if (error == asio::error::connection_refused && std::filesystem::is_socket(path))
        ::unlink(path.c_str());
    return {};
}

} // namespace

tl::expected<tcp::acceptor, std::string> open_acceptor(const asio::any_io_executor& executor,
                                                       const tcp::endpoint& endpoint) {
    boost::system::error_code error;
    const auto failed = [&](std::string_view what, std::string_view remedy) {
        return tl::unexpected{"cannot listen on " + endpoint_text(endpoint) + ": " +
                              std::string{what} + ": " + error.message() + "; " +
                              std::string{remedy}};
    };
    tcp::acceptor acceptor{executor};
    acceptor.open(endpoint.protocol(), error);
    if (error)
        return failed("no socket", "use the other address family or raise the limit of open files");
    acceptor.set_option(tcp::acceptor::reuse_address(true), error);
    if (!error)
        acceptor.bind(endpoint, error);
    if (!error)
        acceptor.listen(asio::socket_base::max_listen_connections, error);
    if (error)
        return failed("the address cannot be taken",
                      "end the program that holds it or choose another port");
    static_cast<void>(acceptor.local_endpoint(error));
    if (error)
        return failed("the port is not known", "choose a port");
    return acceptor;
}

tl::expected<Local::acceptor, std::string> open_acceptor(const asio::any_io_executor& executor,
                                                         const std::string& path) {
    boost::system::error_code error;
    const auto failed = [&](std::string_view remedy) {
        return tl::unexpected{"cannot listen on unix:" + path + ": " + error.message() + "; " +
                              std::string{remedy}};
    };
    constexpr std::size_t longest_path = 107; // sun_path of Linux, without its NUL
    if (path.empty() || path.size() > longest_path) {
        error = asio::error::name_too_long;
        return failed("choose a path of 1 to 107 bytes");
    }
    error = remove_left_behind(executor, path);
    if (error)
        return failed("end the program that holds it or choose another path");
    Local::acceptor acceptor{executor};
    acceptor.open({}, error);
    if (!error)
        acceptor.bind(Local::endpoint{path}, error);
    if (!error && ::chmod(path.c_str(), S_IRUSR | S_IWUSR | S_IRGRP | S_IWGRP) != 0)
        error = {errno, boost::system::system_category()};
    if (!error)
        acceptor.listen(asio::socket_base::max_listen_connections, error);
    if (error)
        return failed("choose a path in a folder that the daemon may write to");
    return acceptor;
}

} // namespace slotwitness::api
