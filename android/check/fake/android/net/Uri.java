package android.net;

import java.util.ArrayList;
import java.util.List;

public class Uri implements android.os.Parcelable {
    private final java.net.URI text;

    private Uri(java.net.URI text) {
        this.text = text;
    }

    public static Uri parse(String text) {
        return new Uri(java.net.URI.create(text));
    }

    public String getScheme() {
        return text.getScheme();
    }

    public List<String> getPathSegments() {
        List<String> segments = new ArrayList<>();
        for (String segment : text.getRawPath().split("/")) {
            if (!segment.isEmpty()) {
                segments.add(java.net.URLDecoder.decode(segment, java.nio.charset.StandardCharsets.UTF_8));
            }
        }
        return segments;
    }

    public String getLastPathSegment() {
        List<String> segments = getPathSegments();
        return segments.isEmpty() ? null : segments.get(segments.size() - 1);
    }

    @Override
    public String toString() {
        return text.toString();
    }

    public static final class Builder {
        private String scheme;
        private String authority;
        private String path = "";

        public Builder scheme(String scheme) {
            this.scheme = scheme;
            return this;
        }

        public Builder authority(String authority) {
            this.authority = authority;
            return this;
        }

        public Builder appendPath(String segment) {
            String encoded = java.net.URLEncoder.encode(segment, java.nio.charset.StandardCharsets.UTF_8);
            path += "/" + encoded.replace("+", "%20");
            return this;
        }

        public Uri build() {
            return parse(scheme + "://" + authority + path);
        }
    }
}
