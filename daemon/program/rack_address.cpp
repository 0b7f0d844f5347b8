#include "rack_address.hpp"

#include <slotwitness/qr/code.hpp>

#include <boost/asio/ip/address.hpp>

#include <string_view>

namespace slotwitness::program {

namespace {

constexpr std::string_view plain = "http://", over_tls = "https://";
constexpr std::uint16_t port_of_https = 443;

tl::unexpected<std::string> unknown(std::string why) {
    return tl::unexpected(std::move(why) + "; say it with --address https://NAME:PORT");
}

bool names_this_machine(std::string_view host) {
    return host.starts_with("127.") || host.starts_with("localhost") || host.starts_with("[::1]");
}

tl::expected<std::string, std::string> as_given(std::string address) {
    while (address.ends_with('/'))
        address.pop_back();
    const bool is_plain = address.starts_with(plain);
    const std::size_t scheme = is_plain ? plain.size() : over_tls.size();
    const std::string_view host =
        std::string_view{address}.substr(std::min(scheme, address.size()));
    if ((!is_plain && !address.starts_with(over_tls)) || host.empty() ||
        host.find_first_of("/?#@ \t\"'<>\\") != std::string_view::npos)
        return tl::unexpected("\"" + address +
                              "\" is no address of a daemon; write for example "
                              "https://watch.example.net:8443");
    if (is_plain && !names_this_machine(host))
        return tl::unexpected("\"" + address + "\" would carry the token in plain; write https://");
    return address;
}

} // namespace

tl::expected<std::string, std::string> address_for_phones(const AccessSettings& access,
                                                          const std::string& given) {
    if (!given.empty())
        return as_given(given);
    if (!access.socket.empty())
        return access.names.empty()
                   ? unknown("the configuration tells no name of the proxy before the socket")
                   : tl::expected<std::string, std::string>(std::string{over_tls} +
                                                            access.names.front());
    if (access.certificate.empty())
        return unknown("the daemon listens on this machine alone, where no phone reaches it");
    if (access.port == 0)
        return unknown("the daemon takes another port at each start");
    std::string host;
    if (!access.names.empty()) {
        host = access.names.front();
    } else {
        boost::system::error_code error;
        const auto address = boost::asio::ip::make_address(access.address, error);
        if (error || address.is_unspecified())
            return unknown("the configuration tells no name of the daemon");
        host = address.is_v6() ? '[' + access.address + ']' : access.address;
    }
    return std::string{over_tls} + host +
           (access.port == port_of_https ? "" : ':' + std::to_string(access.port));
}

std::string rack_address(const std::string& daemon, const std::string& procedure,
                         const std::string& token) {
    return daemon + "/rack/" + procedure + "#token=" + token;
}

std::string shown_to_camera(const std::string& address, std::size_t columns) {
    const auto code = qr::encode(address);
    if (!code)
        return address + "\nIt is too long for a QR code.\n";
    if (columns > 0 && columns < code->side())
        return address + "\nIts QR code takes " + std::to_string(code->side()) +
               " columns: widen the terminal, or write it to a file with --qr.\n";
    return qr::on_terminal(*code) + address + '\n';
}

} // namespace slotwitness::program
