#include "config_access.hpp"

#include "config_target.hpp"
#include "files.hpp"

#include <boost/asio/ip/address.hpp>

#include <optional>
#include <utility>

namespace slotwitness::program {

namespace {

using keys::Fields;

constexpr std::string_view on_socket = "unix:";

void read_listen(Fields& fields, AccessSettings& access, const std::filesystem::path& folder) {
    const auto listen = fields.text("listen");
    if (!listen)
        return;
    if (listen->starts_with(on_socket)) {
        access.socket = beside(folder, listen->substr(on_socket.size()));
        if (access.socket.empty())
            fields.wrong("listen", *listen, "a path after unix:",
                         "Write for example listen = \"unix:/run/slotwitness/api\".");
        return;
    }
    const std::size_t colon = listen->rfind(':');
    const std::string port = colon == std::string::npos ? "" : listen->substr(colon + 1);
    const bool digits = !port.empty() && port.size() <= 5 &&
                        port.find_first_not_of("0123456789") == std::string::npos;
    if (!digits || std::stoul(port) > highest_port) {
        fields.wrong("listen", *listen, "address:port, or unix:PATH",
                     "Write for example listen = \"127.0.0.1:8470\".");
        return;
    }
    access.port = static_cast<std::uint16_t>(std::stoul(port));
    access.address = listen->substr(0, colon);
    if (access.address.size() > 2 && access.address.front() == '[' && access.address.back() == ']')
        access.address = access.address.substr(1, access.address.size() - 2);
}

void read_tls(Fields& daemon, AccessSettings& access, const std::filesystem::path& folder) {
    const toml::table* table = daemon.table("tls");
    if (table == nullptr)
        return;
    Fields fields(*table, "[daemon.tls]", daemon.problems());
    access.certificate = beside(folder, fields.required_text("certificate", "fullchain.pem"));
    access.key = beside(folder, fields.required_text("key", "privkey.pem"));
    fields.finish();
}

/// What stands in Host, without its port.
void read_names(Fields& fields, AccessSettings& access) {
    constexpr std::string_view of_names =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-.";
    access.names = fields.texts("names");
    for (const std::string& name : access.names)
        if (name.empty() || name.find_first_not_of(of_names) != std::string::npos)
            fields.wrong("names", name, "host names without scheme and port",
                         "Write for example names = [\"watch.example.net\"].");
}

bool is_beyond_loopback(const std::string& address) {
    boost::system::error_code error;
    const auto parsed = boost::asio::ip::make_address(address, error);
    return !error && !parsed.is_loopback(); // one that is none is refused as it is listened on
}

/// Whoever is let in from elsewhere is known by a token, and nobody between can read or take it.
void check_together(Fields& fields, const AccessSettings& access) {
    const bool has_tls = !access.certificate.empty();
    if (!access.socket.empty() && has_tls)
        fields.wrong("tls", "TLS on a Unix socket", "one of the two",
                     "The proxy before the socket has the certificate: take [daemon.tls] out.");
    if (!access.socket.empty() && access.tokens.empty())
        fields.wrong("listen", on_socket.data() + access.socket, "tokens with a Unix socket",
                     "Add tokens = \"tokens\", so that it is known who comes through the proxy.");
    if (access.socket.empty() && is_beyond_loopback(access.address) &&
        (!has_tls || access.tokens.empty()))
        fields.wrong(
            "listen", access.address, "a loopback address, or [daemon.tls] and tokens with another",
            "Add certificate and key in [daemon.tls] and tokens = \"tokens\", or listen on "
            "127.0.0.1.");
}

} // namespace

AccessSettings read_access(Fields& daemon, const std::filesystem::path& folder) {
    AccessSettings access;
    read_listen(daemon, access, folder);
    access.tokens = beside(folder, daemon.text("tokens").value_or(""));
    read_names(daemon, access);
    read_tls(daemon, access, folder);
    check_together(daemon, access);
    return access;
}

tl::expected<keys::File, std::vector<state::Problem>> read_config_file(const std::string& path) {
    auto text = read_file(path);
    if (!text)
        return tl::unexpected(std::vector<state::Problem>{
            {path, {}, std::move(text.error()), "a readable file", "correct the path"}});
    return keys::File{path, std::move(*text)};
}

tl::expected<AccessSettings, std::vector<state::Problem>> load_access(const std::string& path) {
    const auto file = read_config_file(path);
    if (!file)
        return tl::unexpected(file.error());
    keys::Problems problems({&*file, 1});
    AccessSettings access;
    if (const auto root = keys::parse(*file, problems)) {
        Fields fields(*root, "the configuration", problems);
        fields.require("daemon", "[daemon] with journal = \"slotwitness.journal\"");
        if (const toml::table* daemon = fields.table("daemon")) {
            Fields of_daemon(*daemon, "[daemon]", problems);
            access = read_access(of_daemon, std::filesystem::path(path).parent_path());
        }
    }
    if (auto found = std::move(problems).take(); !found.empty())
        return tl::unexpected(std::move(found));
    return access;
}

} // namespace slotwitness::program
