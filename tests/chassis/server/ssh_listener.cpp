#include "ssh_listener.hpp"

#include "recorder.hpp"
#include "virtual_clock.hpp"

#include <algorithm>

namespace slotwitness::chassis {

namespace asio = boost::asio;
using asio::ip::tcp;

SshListener::SshListener(Site& site, Device& device, Key host_key, bool has_shells)
    : site_(site), device_(device), host_key_(public_text(host_key.get())), has_shells_(has_shells),
      usual_(new_bind(std::move(host_key))), changed_(new_bind(new_key())), acceptor_(site.io),
      pause_(site.io) {}

SshListener::~SshListener() {
    close();
}

SshListener::Bind SshListener::new_bind(Key host_key) {
    Bind bind(ssh_bind_new());
    if (!bind || !host_key)
        return nullptr;
    const bool read_no_files = false;
    ssh_bind_options_set(bind.get(), SSH_BIND_OPTIONS_PROCESS_CONFIG, &read_no_files);
    ssh_bind_options_set(bind.get(), SSH_BIND_OPTIONS_BANNER, "Quillon");
    // Curve25519 alone costs a millisecond a handshake; the finite-field groups cost up to a
    // hundred.
    ssh_bind_options_set(bind.get(), SSH_BIND_OPTIONS_KEY_EXCHANGE,
                         "curve25519-sha256,curve25519-sha256@libssh.org");
    if (ssh_bind_options_set(bind.get(), SSH_BIND_OPTIONS_IMPORT_KEY, host_key.get()) != SSH_OK)
        return nullptr;
    // The bind owns it now.
    static_cast<void>(host_key.release());
    return bind;
}

tl::expected<std::uint16_t, std::string> SshListener::open(std::uint16_t port) {
    if (!usual_ || !changed_)
        return tl::unexpected(
            std::string("the SSH library refuses the host key; it must be Ed25519"));
    boost::system::error_code error;
    const tcp::endpoint endpoint(asio::ip::address_v4::loopback(), port);
    acceptor_.open(endpoint.protocol(), error);
    if (!error)
        acceptor_.set_option(tcp::acceptor::reuse_address(true), error);
    if (!error)
        acceptor_.bind(endpoint, error);
    if (!error)
        acceptor_.listen(asio::socket_base::max_listen_connections, error);
    if (error)
        return tl::unexpected("port " + std::to_string(port) + ": " + error.message() +
                              "; choose another, or 0 for any");
    accept();
    return acceptor_.local_endpoint().port();
}

void SshListener::accept() {
    acceptor_.async_accept([this](const boost::system::error_code& error, tcp::socket socket) {
        if (error == asio::error::operation_aborted)
            return;
        if (!error) {
            begin(std::move(socket));
            accept();
            return;
        }
        // No descriptors left, most likely: they come back when sessions end.
        pause_.expires_after(std::chrono::milliseconds(100));
        pause_.async_wait([this](const boost::system::error_code& stopped) {
            if (!stopped)
                accept();
        });
    });
}

void SshListener::begin(tcp::socket socket) {
    boost::system::error_code ignored;
    socket.set_option(tcp::no_delay(true), ignored);
    SessionHandle handle(ssh_new());
    if (!handle)
        return;
    ssh_bind_struct* const bind = device_.changes_host_key() ? changed_.get() : usual_.get();
    if (ssh_bind_accept_fd(bind, handle.get(), socket.release()) != SSH_OK)
        return;

    const std::uint64_t number = ++site_.sessions_ever;
    SshSession::Doings doings;
    doings.channel.ask = [this](const std::string& command) {
        return device_.ask(command, site_.clock.now());
    };
    doings.channel.record = [this, number](std::string_view type, std::string_view bytes) {
        site_.recorder.write(device_.name(), number, type, bytes);
    };
    if (has_shells_)
        doings.channel.shell = device_.name();
    doings.accepts_key = [this](const ssh_key_struct* key) {
        return !device_.refuses_auth() &&
               std::any_of(site_.authorized.begin(), site_.authorized.end(),
                           [&](const Key& known) { return same_public(known.get(), key); });
    };
    doings.ended = [this, number] { sessions_.erase(number); };
    const auto session =
        std::make_shared<SshSession>(site_.io, std::move(handle), std::move(doings));
    sessions_[number] = session;
    if (!session->start())
        session->drop();
}

void SshListener::drop_sessions() {
    // Each one takes itself out of `sessions_`.
    for (const auto& [number, weak] : std::map(sessions_))
        if (const auto session = weak.lock())
            session->drop();
}

void SshListener::remark(const std::string& text) {
    for (const auto& [number, weak] : std::map(sessions_))
        if (const auto session = weak.lock())
            session->remark(text);
}

void SshListener::close() {
    boost::system::error_code ignored;
    acceptor_.close(ignored);
    pause_.cancel();
    drop_sessions();
}

} // namespace slotwitness::chassis
