#include "hosts.hpp"

#include "http.hpp"

#include <boost/asio/ip/address.hpp>

#include <algorithm>
#include <optional>

namespace slotwitness::api {

namespace {

using boost::asio::ip::make_address;

/// The host without brackets and port (RFC 3986 §3.2.2); nothing if the authority is none.
std::optional<std::string> host_of(std::string_view authority) {
    std::string_view host = authority;
    std::string_view port;
    if (authority.starts_with('[')) {
        const auto end = authority.find(']');
        if (end == std::string_view::npos)
            return std::nullopt;
        host = authority.substr(1, end - 1);
        port = authority.substr(end + 1);
        if (!port.empty() && !port.starts_with(':'))
            return std::nullopt;
    } else if (const auto colon = authority.find(':'); colon != std::string_view::npos) {
        host = authority.substr(0, colon);
        port = authority.substr(colon);
    }
    if (host.empty() || port.find_first_not_of("0123456789", 1) != std::string_view::npos)
        return std::nullopt;
    return std::string{host};
}

} // namespace

void Hosts::add(std::string address) {
    addresses_.push_back(std::move(address));
}

void Hosts::add_name(std::string name) {
    names_.push_back(std::move(name));
}

bool Hosts::accept(std::string_view authority) const {
    if (!accepted_.empty() && authority == accepted_)
        return true;
    if (!goes_by(authority))
        return false;
    accepted_ = authority;
    return true;
}

bool Hosts::goes_by(std::string_view authority) const {
    const auto host = host_of(authority);
    if (!host)
        return false;
    const auto same = [&](const std::string& name) { return same_token(*host, name); };
    if (std::ranges::any_of(names_, same))
        return true;
    if (same_token(*host, "localhost") || same_token(*host, "localhost.")) // RFC 6761 §6.3
        return true;
    boost::system::error_code error;
    const auto address = make_address(*host, error);
    if (error)
        return false;
    return address.is_loopback() ||
           std::ranges::find(addresses_, address.to_string()) != addresses_.end();
}

std::string Hosts::to_text() const {
    std::string text = "localhost, 127.0.0.1, [::1]";
    for (const std::string& address : addresses_)
        if (address != "127.0.0.1" && address != "::1")
            text.append(", ").append(address);
    for (const std::string& name : names_)
        text.append(", ").append(name);
    return text;
}

} // namespace slotwitness::api
