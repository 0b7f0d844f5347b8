#include "session_record.hpp"

#include <utility>

namespace slotwitness::desk {

Session session_after(links::LinkError::Kind kind) {
    switch (kind) {
    case links::LinkError::Kind::host_key:
    case links::LinkError::Kind::own_files:
        return Session::refused;
    case links::LinkError::Kind::bastion:
    case links::LinkError::Kind::credential:
    case links::LinkError::Kind::locked:
        return Session::halted;
    case links::LinkError::Kind::aaa:
    case links::LinkError::Kind::no_line:
    case links::LinkError::Kind::unreachable:
    case links::LinkError::Kind::session_lost:
    case links::LinkError::Kind::timed_out:
    case links::LinkError::Kind::refused:
    case links::LinkError::Kind::misuse:
        return Session::lost;
    }
    return Session::lost;
}

witness::NoAnswer no_answer(links::LinkError::Kind kind) {
    switch (kind) {
    case links::LinkError::Kind::unreachable:
        return witness::NoAnswer::unreachable;
    case links::LinkError::Kind::host_key:
        return witness::NoAnswer::host_key;
    case links::LinkError::Kind::own_files:
    case links::LinkError::Kind::bastion:
    case links::LinkError::Kind::credential:
        return witness::NoAnswer::credential;
    case links::LinkError::Kind::locked:
        return witness::NoAnswer::locked;
    case links::LinkError::Kind::aaa:
        return witness::NoAnswer::aaa;
    case links::LinkError::Kind::no_line:
        return witness::NoAnswer::no_line;
    case links::LinkError::Kind::session_lost:
        return witness::NoAnswer::session_lost;
    case links::LinkError::Kind::timed_out:
        return witness::NoAnswer::timed_out;
    case links::LinkError::Kind::refused:
        return witness::NoAnswer::refused;
    case links::LinkError::Kind::misuse:
        return witness::NoAnswer::internal;
    }
    return witness::NoAnswer::internal;
}

witness::SessionOpened opened(const links::Reached& reached, std::string serial) {
    const links::Agreed& agreed = reached.agreed;
    return {reached.address, reached.host_key, std::move(serial),  agreed.key_exchange,
            agreed.host_key, agreed.cipher_to, agreed.cipher_from, agreed.mac_to,
            agreed.mac_from, agreed.weak()};
}

} // namespace slotwitness::desk
