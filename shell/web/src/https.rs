//! The farm's own certificates: an authority made once and kept beside the record, and the server's, made by it at every start and
//! again before it lapses.

use std::fs;
use std::io;
use std::net::IpAddr;
use std::path::Path;
use std::sync::Arc;

use rcgen::string::Ia5String;
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DnType, ExtendedKeyUsagePurpose, GeneralSubtree, IsCa, Issuer,
    KeyPair, KeyUsagePurpose, NameConstraints, SanType, date_time_ymd,
};
use rustls::ServerConfig;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};
use store::sha256_hex;
use units::Day;

/// How long the server's certificate holds, days. Phones take none of more than 825 days from an authority added by hand.
const LEAF_DAYS: i32 = 180;
/// Days before its end at which it is made anew.
const RENEW_DAYS: i32 = 60;
/// How long the authority holds, days: ten years, since every phone must be shown a new one by hand.
const AUTHORITY_DAYS: i32 = 3650;
/// Names that no public server has (RFC 6762, 6761, 8375; `internal` is reserved for private use, `lan` is common practice).
const NAMES: [&str; 6] = ["local", "localhost", "home.arpa", "internal", "lan", "test"];
/// Addresses of this machine and of private networks (RFC 1918, 3927, 4193, 4291).
const NETS: [(&str, u8); 8] = [
    ("127.0.0.0", 8),
    ("10.0.0.0", 8),
    ("172.16.0.0", 12),
    ("192.168.0.0", 16),
    ("169.254.0.0", 16),
    ("::1", 128),
    ("fc00::", 7),
    ("fe80::", 10),
];

/// The farm's own authority.
pub struct Authority {
    key: KeyPair,
    der: Vec<u8>,
    name: String,
    until: Day,
}

fn other(error: impl std::error::Error + Send + Sync + 'static) -> io::Error {
    io::Error::other(error)
}

fn dated(params: &mut CertificateParams, from: Day, days: i32) {
    let at = |day: Day| {
        let (year, month, day) = day.ymd();
        date_time_ymd(i32::from(year), month.unsigned_abs(), day.unsigned_abs())
    };
    // A day early: a phone's clock may be behind.
    params.not_before = at(from.plus(-1));
    params.not_after = at(from.plus(days));
}

/// The name follows the key, so that it need not be kept.
fn name_of(key: &KeyPair) -> String {
    format!("warmspell farm {}", &sha256_hex(key.public_key_raw())[..8])
}

fn named(name: &str) -> CertificateParams {
    let mut params = CertificateParams::default();
    params.distinguished_name = rcgen::DistinguishedName::new();
    params.distinguished_name.push(DnType::CommonName, name);
    params
}

fn authority_params(name: &str) -> CertificateParams {
    let mut params = named(name);
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    let names = NAMES.iter().map(|name| GeneralSubtree::DnsName((*name).to_owned()));
    let nets = NETS.iter().filter_map(|(at, bits)| {
        Some(GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(at.parse().ok()?, *bits)))
    });
    params.name_constraints =
        Some(NameConstraints { permitted_subtrees: names.chain(nets).collect(), excluded_subtrees: Vec::new() });
    params
}

impl Authority {
    /// The authority kept in a folder, or a new one, kept there for its owner's eyes alone. One that ends within a year is made anew.
    ///
    /// # Errors
    /// When the folder cannot be used, or what lies in it is no authority.
    pub fn open(folder: &Path, today: Day) -> io::Result<Authority> {
        let path = folder.join("authority.pem");
        match fs::read_to_string(&path) {
            Ok(text) => {
                let kept = Authority::read(&text).ok_or_else(|| io::Error::from(io::ErrorKind::InvalidData))?;
                if kept.until > today.plus(365) { Ok(kept) } else { Authority::made(folder, &path, today) }
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => Authority::made(folder, &path, today),
            Err(error) => Err(error),
        }
    }

    /// The file: its last day, the certificate in hexadecimal digits, the key.
    fn read(text: &str) -> Option<Authority> {
        let mut lines = text.splitn(3, '\n');
        let until = Day::parse(lines.next()?.strip_prefix("until ")?)?;
        let hex = lines.next()?.strip_prefix("certificate ")?;
        let der = (0..hex.len() / 2)
            .map(|at| u8::from_str_radix(hex.get(2 * at..2 * at + 2)?, 16).ok())
            .collect::<Option<_>>()?;
        let key = KeyPair::from_pem(lines.next()?).ok()?;
        let name = name_of(&key);
        Some(Authority { key, der, name, until })
    }

    fn made(folder: &Path, path: &Path, today: Day) -> io::Result<Authority> {
        let key = KeyPair::generate().map_err(other)?;
        let name = name_of(&key);
        let mut params = authority_params(&name);
        dated(&mut params, today, AUTHORITY_DAYS);
        let der = params.self_signed(&key).map_err(other)?.der().to_vec();
        let until = today.plus(AUTHORITY_DAYS);
        let hex: String = der.iter().map(|byte| format!("{byte:02x}")).collect();
        let (year, month, day) = until.ymd();
        let text = format!("until {year:04}-{month:02}-{day:02}\ncertificate {hex}\n{}", key.serialize_pem());
        keep(folder, path, &text)?;
        Ok(Authority { key, der, name, until })
    }

    /// The certificate, as phones take it.
    pub fn der(&self) -> &[u8] {
        &self.der
    }

    /// Its SHA-256, in pairs of digits.
    pub fn fingerprint(&self) -> String {
        let digits = sha256_hex(&self.der).to_uppercase();
        digits.as_bytes().chunks(2).map(|pair| String::from_utf8_lossy(pair).into_owned()).collect::<Vec<_>>().join(" ")
    }

    /// Whether a name or an address is one the authority can vouch for.
    pub fn can_name(name: &str) -> bool {
        match name.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>() {
            Ok(ip) => NETS.iter().any(|(at, bits)| at.parse().is_ok_and(|net| lies_in(ip, net, *bits))),
            Err(_) => NAMES.iter().any(|known| name == *known || name.ends_with(&format!(".{known}"))),
        }
    }

    /// A server's certificate for these names and addresses (those it cannot vouch for are left out), and its last day.
    ///
    /// # Errors
    /// When a name cannot stand in a certificate.
    pub fn serve(&self, names: &[String], today: Day) -> io::Result<(Arc<ServerConfig>, Day)> {
        let issuer = Issuer::new(authority_params(&self.name), &self.key);
        let mut params = named("warmspell");
        for name in names.iter().map(|name| name.to_ascii_lowercase()).filter(|name| Authority::can_name(name)) {
            params.subject_alt_names.push(match name.trim_start_matches('[').trim_end_matches(']').parse() {
                Ok(ip) => SanType::IpAddress(ip),
                Err(_) => SanType::DnsName(Ia5String::try_from(name).map_err(other)?),
            });
        }
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.use_authority_key_identifier_extension = true;
        dated(&mut params, today, LEAF_DAYS);
        let key = KeyPair::generate().map_err(other)?;
        let leaf = params.signed_by(&key, &issuer).map_err(other)?;
        let chain = vec![CertificateDer::from(leaf.der().to_vec()), CertificateDer::from(self.der.clone())];
        let secret = PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(key.serialize_der()));
        let provider = Arc::new(rustls::crypto::ring::default_provider());
        let mut config = ServerConfig::builder_with_provider(provider)
            .with_safe_default_protocol_versions()
            .map_err(other)?
            .with_no_client_auth()
            .with_single_cert(chain, secret)
            .map_err(other)?;
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok((Arc::new(config), today.plus(LEAF_DAYS)))
    }
}

/// Whether a certificate with this last day is to be made anew.
pub fn is_due(until: Day, today: Day) -> bool {
    today >= until.plus(-RENEW_DAYS)
}

fn lies_in(ip: IpAddr, net: IpAddr, bits: u8) -> bool {
    match (ip, net) {
        (IpAddr::V4(ip), IpAddr::V4(net)) => {
            (ip.to_bits() ^ net.to_bits()).checked_shr(32 - u32::from(bits)) == Some(0)
        }
        (IpAddr::V6(ip), IpAddr::V6(net)) => {
            (ip.to_bits() ^ net.to_bits()).checked_shr(128 - u32::from(bits)) == Some(0)
        }
        _ => false,
    }
}

/// Writes a file that none but its owner may read.
fn keep(folder: &Path, path: &Path, text: &str) -> io::Result<()> {
    use std::io::Write;
    let mut options = fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
        options.mode(0o600);
        builder.mode(0o700);
    }
    builder.create(folder)?;
    // Written beside and moved, so that a cut of power leaves the old one or the new one.
    let fresh = path.with_extension("new");
    let _gone = fs::remove_file(&fresh);
    let mut file = options.open(&fresh)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    fs::rename(&fresh, path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_authority_is_kept_for_its_owner_alone_and_read_again() {
        let folder = std::env::temp_dir().join(format!("warmspell-https-{}", std::process::id()));
        let today = Day::new(2026, 5, 1).expect("a day");
        let made = Authority::open(&folder, today).expect("made");
        let again = Authority::open(&folder, today.plus(400)).expect("read");
        assert_eq!((made.der(), made.fingerprint()), (again.der(), again.fingerprint()));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = |path: &Path| fs::metadata(path).expect("there").permissions().mode() & 0o777;
            assert_eq!((mode(&folder), mode(&folder.join("authority.pem"))), (0o700, 0o600));
        }
        let later = Authority::open(&folder, today.plus(AUTHORITY_DAYS - 300)).expect("made anew");
        assert_ne!(later.fingerprint(), made.fingerprint());
        fs::write(folder.join("authority.pem"), "something else").expect("written");
        assert!(Authority::open(&folder, today).is_err(), "what is not ours is not written over");
        fs::remove_dir_all(&folder).expect("removed");
    }

    #[test]
    fn it_vouches_for_the_farm_alone_and_in_time() {
        for (name, can) in [
            ("farm.local", true),
            ("192.168.1.5", true),
            ("172.31.0.1", true),
            ("172.32.0.1", false),
            ("[::1]", true),
            ("fd12::1", true),
            ("2001:db8::1", false),
            ("8.8.8.8", false),
            ("bank.example", false),
            ("notlocal", false),
        ] {
            assert_eq!(Authority::can_name(name), can, "{name}");
        }
        let today = Day::new(2026, 5, 1).expect("a day");
        assert!(!is_due(today.plus(RENEW_DAYS + 1), today) && is_due(today.plus(RENEW_DAYS), today));
    }
}
